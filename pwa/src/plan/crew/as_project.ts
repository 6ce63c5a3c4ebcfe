/**
 * The shop's problem relaxed to an RCPSP: on open time only, without setups, waits shortened to their open part.
 *
 * Close enough to find good orders, which `crew_generation.ts` then turns into exact times.
 */
import type { Problem } from "../../wire.gen.ts";
import { openMinutes } from "../model/hours.ts";
import { numbersOf } from "../model/precedence.ts";
import { ableAt, type Crew, isWithin } from "./crew.ts";
import type { Activity, Project } from "./project.ts";

/** Minutes in the project's unit of time. A finer one gives no better orders, and takes longer. */
const UNIT = 5;

/**
 * The project. Activity n is operation n of the problem; runs, minimal lags and release times follow as activities.
 *
 * Resources: hands, then each station, then clamps by kind; last, each set of hands to which some work is confined,
 * where hands differ. Who is away is left out. Clamps are needed by the operation that takes them, by the one that gives
 * them back, and by the lag between the two; not by anything else that lies between.
 */
export function projectOf(problem: Problem, crew: Crew): Project {
  const { ops, clamps } = problem;
  const { compiled } = crew;
  const share = openShare(crew);
  const held = clampsInUse(problem);
  const spans = spansOf(problem);
  const able = compiled.station.map((station) => ableAt(crew.people, station));
  const confined = confinedTo(able, crew.hands);
  const noStations = compiled.standing.map(() => 0);
  const noClamps = Object.keys(clamps).map(() => 0);
  const nobody = confined.map(() => 0);
  const waits: Activity[] = [];

  const wait = (minutes: number, needs: readonly number[], after: readonly number[]): number => {
    waits.push({ minutes: units(minutes), needs, after });
    return ops.length + waits.length - 1;
  };
  const nothing = [0, ...noStations, ...noClamps, ...nobody];
  const operations = ops.map((op, i): Activity => {
    const there = noStations.map((_, station) => (compiled.station[i] === station ? 1 : 0));
    const own = held[i] as readonly number[];
    const after = [wait(openMinutes(compiled.hours, compiled.ready[i] as number), nothing, [])];
    for (const [before, lag] of compiled.predecessors[i] as Crew["compiled"]["predecessors"][number]) {
      const clamped = spans.has(before * ops.length + i)
        ? [0, ...noStations, ...(held[before] ?? []), ...nobody]
        : nothing;
      after.push(wait(Math.floor((lag * share) / 100), clamped, [before]));
    }
    wait(Math.floor((op.runs * share) / 100), [0, ...there, ...noClamps, ...nobody], [i]);
    const hands = confined.map((one) => (isWithin(able[i] as readonly number[], one) ? 1 : 0));
    return { minutes: units(op.minutes), needs: [1, ...there, ...own, ...hands], after };
  });
  const ones = noStations.map(() => 1);
  const capacities = [crew.hands, ...ones, ...Object.values(clamps), ...confined.map((hands) => hands.length)];
  return { capacities, activities: [...operations, ...waits] };
}

/** Minutes in units, rounded up. */
function units(minutes: number): number {
  return Math.ceil(minutes / UNIT);
}

/** Percent of all time, from the first opening to the last closing, that is open; at least 1. */
function openShare({ compiled: { hours } }: Crew): number {
  const [first, last] = [hours.opens[0], hours.closes.at(-1)];
  if (first === undefined || last === undefined) return 100;
  return Math.max(1, Math.floor((100 * (hours.worked.at(-1) as number)) / (last - first)));
}

/** By operation, clamps of each kind in use while it is done, at most as many as the shop has. */
function clampsInUse({ ops, holds, clamps }: Problem): number[][] {
  const number = numbersOf(ops);
  const kinds = Object.keys(clamps);
  const kindOf = new Map(kinds.map((kind, n) => [kind, n]));
  const none = () => ops.map(() => kinds.map(() => 0));
  const [taken, given] = [none(), none()];
  for (const { kind, count, take, give } of holds) {
    const n = kindOf.get(kind);
    if (n === undefined) continue;
    if (take) add(taken[number(take)] as number[], n, count);
    if (give) add(given[number(give)] as number[], n, count);
  }
  return taken.map((own, i) => {
    return own.map((count, n) => Math.min(clamps[kinds[n] as string] ?? 0, Math.max(count, given[i]?.[n] ?? 0)));
  });
}

function add(counts: number[], kind: number, count: number): void {
  counts[kind] = (counts[kind] as number) + count;
}

/** The pairs of operations between which clamps are held: the first times the count of operations, plus the second. */
function spansOf({ ops, holds }: Problem): ReadonlySet<number> {
  const number = numbersOf(ops);
  return new Set(holds.flatMap(({ take, give }) => (take && give ? [number(take) * ops.length + number(give)] : [])));
}

/** The sets of hands, but for all and none of them, to which some operation is confined, in order. able: by operation. */
function confinedTo(able: readonly (readonly number[])[], hands: number): (readonly number[])[] {
  const sets = new Map(able.map((one) => [one.join(), one]));
  const some = [...sets.values()].filter((one) => one.length > 0 && one.length < hands);
  return some.sort((a, b) => {
    const place = a.findIndex((n, k) => n !== b[k]);
    return place < 0 ? a.length - b.length : (a[place] as number) - (b[place] ?? -1);
  });
}
