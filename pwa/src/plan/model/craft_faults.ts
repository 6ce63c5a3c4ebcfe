/** The faults of craft in a schedule: what a maker would rather not do, though every rule allows it. */
import type { CompiledCraft, WantedLag } from "./compiled_craft.ts";
import type { CompiledProblem } from "./compiled_problem.ts";
import { bisectLeft, bisectRight, type Hours, openMinutes } from "./hours.ts";

type Kind = "torn" | "fiddly" | "dust" | "late act" | "visit";

/** Which, what it costs in minutes, and the operation that has it. */
export type Fault = readonly [kind: Kind, cost: number, operation: number];

type Times = readonly number[];

/**
 * The faults of a schedule in which every operation is placed.
 *
 * order: as operations are taken up. start, end: by operation, of the attended work. craft: the problem's.
 */
export function craftFaults(
  compiled: CompiledProblem,
  craft: CompiledCraft,
  order: readonly number[],
  start: Times,
  end: Times,
): Fault[] {
  const { costs, closings } = craft;
  const { hours, minutes } = compiled;
  const faults: Fault[] = [];
  for (const i of craft.torn) {
    if ((end[i] as number) - (start[i] as number) <= (minutes[i] as number)) continue;
    const short = shortPieces(craft, hours, start[i] as number, end[i] as number);
    for (let n = 0; n < short; n++) faults.push(["torn", costs.torn, i]);
  }
  for (const i of craft.fiddly) {
    const done = end[i] as number;
    if ((closings[bisectLeft(closings, done)] as number) - done < costs.last_minutes) {
      faults.push(["fiddly", costs.fiddly, i]);
    }
  }
  for (const lag of craft.wanted) {
    const isLate = (start[lag.after] as number) > (end[lag.before] as number) + lag.most;
    if (isLate && !(lag.openOnly && isKeptInHours(hours, lag, start, end))) {
      faults.push(["late act", costs.late_act, lag.after]);
    }
  }
  for (const i of dustyBesideWet(craft, start, end)) faults.push(["dust", costs.dust, i]);
  for (const i of visits(craft, compiled.station, order)) faults.push(["visit", costs.visit, i]);
  return faults;
}

/** True if a wanted lag is not exceeded when beyond the minimal one only minutes in working hours count. */
function isKeptInHours(hours: Hours, lag: WantedLag, start: Times, end: Times): boolean {
  const since = (end[lag.before] as number) + lag.least;
  const waited = openMinutes(hours, start[lag.after] as number) - openMinutes(hours, since);
  return waited <= lag.most - lag.least;
}

/** Into how many pieces shorter than the least the closings tear work from `start` to `end`. */
export function shortPieces(craft: CompiledCraft, hours: Hours, start: number, end: number): number {
  const { closings } = craft;
  const least = craft.costs.least_piece;
  let k = bisectRight(closings, start);
  if ((closings[k] as number) >= end) return 0;
  let short = 0;
  let since = openMinutes(hours, start);
  for (; (closings[k] as number) < end; k++) {
    const until = openMinutes(hours, closings[k] as number);
    if (until - since < least) short += 1;
    since = until;
  }
  return openMinutes(hours, end) - since < least ? short + 1 : short;
}

/** The dusty operations that are worked on while something is wet. */
function dustyBesideWet(craft: CompiledCraft, start: Times, end: Times): number[] {
  if (!craft.dusty.length) return [];
  const wet: (readonly [since: number, until: number])[] = [];
  for (const [i, minutes] of craft.wet) wet.push([end[i] as number, (end[i] as number) + minutes]);
  wet.sort((one, other) => one[0] - other[0]);
  const since = [-1];
  const until = [craft.wetUntil];
  for (const [n, [begin, dry]] of wet.entries()) {
    since.push(begin);
    until.push(Math.max(until[n] as number, dry));
  }
  return craft.dusty.filter((i) => {
    const last = bisectLeft(since, end[i] as number) - 1;
    return (start[i] as number) < (until[last] as number);
  });
}

/**
 * The operations for which somebody comes back to a station after work at others.
 *
 * Each pair of hands stands at one station: those that were used last. Work at no station, or at one that is near,
 * leaves them as they are.
 */
function visits(craft: CompiledCraft, station: readonly number[], order: readonly number[]): number[] {
  const manned = craft.here >= 0 ? [craft.here] : []; // the one used last comes last
  const seen = craft.visits.map(() => false);
  if (craft.here >= 0) seen[craft.here] = true;
  const found: number[] = [];
  for (const i of order) {
    const at = station[i] as number;
    if (at < 0 || !craft.visits[at] || manned[manned.length - 1] === at) continue;
    const place = manned.indexOf(at);
    if (place >= 0) manned.splice(place, 1);
    else if (seen[at]) found.push(i);
    seen[at] = true;
    manned.push(at);
    if (manned.length > craft.hands) manned.shift();
  }
  return found;
}
