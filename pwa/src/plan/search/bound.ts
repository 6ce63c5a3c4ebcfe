/**
 * Earliest and latest starts over the calendar, and a lower bound on the finish.
 *
 * The bound is destructive: a finish is tried, and if it can be refuted the bound is higher; binary search finds the
 * least finish that is not refuted. The refutation relaxes the problem to one machine that may interrupt anything, with
 * heads (earliest starts) and tails, scheduled by earliest deadline. Each needed setup that does not stand is a job of
 * its own.
 */
import { type CompiledProblem, endAt, NONE } from "../model/compiled_problem.ts";
import { type Entry, pop, push } from "../model/heap.ts";
import { earliestStart, FAR, latestStart, openMinutes } from "../model/hours.ts";

/**
 * A setup that some operations need and that does not stand at the beginning: it is made once at least.
 *
 * minutes: the last minutes of setting up for the first of these operations, from the nearest other setup.
 */
export type SetupJob = { readonly minutes: number; readonly ops: readonly number[] };

/** A job for one machine. All in open minutes. */
export type Job = readonly [release: number, deadline: number, minutes: number];

/**
 * By operation, a minute before which it cannot start: forward pass over precedence and hours only.
 *
 * ready: earliest starts that are known already, in place of the problem's.
 */
export function earliestStarts(compiled: CompiledProblem, ready: readonly number[] = compiled.ready): number[] {
  const { hours, minutes, breakable, successors } = compiled;
  const start = [...ready];
  for (const i of compiled.order) {
    const begin = earliestStart(hours, start[i] as number, minutes[i] as number, breakable[i] as boolean);
    start[i] = begin;
    const end = endAt(compiled, i, begin);
    for (const [j, lag] of successors[i] as (typeof successors)[number])
      if ((start[j] as number) < end + lag) start[j] = end + lag;
  }
  return start;
}

/**
 * By operation, the latest start for which all can still be done by `due`: backward pass over precedence and hours.
 *
 * due: by operation, when it should be done, its run included. Hands, stations and clamps are not considered.
 */
export function latestStarts(compiled: CompiledProblem, due: readonly number[]): number[] {
  const { hours, minutes, breakable, runs, successors, order } = compiled;
  const start = new Array<number>(due.length).fill(0);
  for (let n = order.length - 1; n >= 0; n--) {
    const i = order[n] as number;
    let end = (due[i] as number) - (runs[i] as number);
    for (const [j, lag] of successors[i] as (typeof successors)[number])
      if ((start[j] as number) - lag < end) end = (start[j] as number) - lag;
    start[i] = latestStart(hours, end, minutes[i] as number, breakable[i] as boolean);
  }
  return start;
}

/** A minute before which no plan finishes. most: a finish that some plan reaches, or the end of all hours. */
export function lowerBound(compiled: CompiledProblem, most: number, hands = 1): number {
  const heads = earliestStarts(compiled);
  const jobs = setupJobs(compiled);
  const low = lastEnd(compiled, heads);
  return leastNotRefuted(low, Math.max(most, low), (finish) => isRefuted(compiled, heads, jobs, finish, hands));
}

/** When all is done if each operation starts at its own earliest start, its run included. heads: these starts. */
export function lastEnd(compiled: CompiledProblem, heads: readonly number[]): number {
  const ends = heads.map((head, i) => endAt(compiled, i, head) + (compiled.runs[i] as number));
  return ends.length > 0 ? Math.max(...ends) : compiled.start;
}

/** The least finish between the two that is not refuted; `high` where all before it are. */
export function leastNotRefuted(low: number, high: number, refuted: (finish: number) => boolean): number {
  let [least, most] = [low, high];
  while (least < most) {
    const middle = Math.floor((least + most) / 2);
    if (refuted(middle)) least = middle + 1;
    else most = middle;
  }
  return least;
}

/** One for each needed setup that does not stand at the beginning and takes time whatever was set before. */
export function setupJobs(compiled: CompiledProblem): SetupJob[] {
  return compiled.setupMinutes.flatMap((matrix, station) => {
    const groups = new Map<number, number[]>();
    compiled.station.forEach((at, i) => {
      const setup = compiled.setup[i] as number;
      if (at !== station || setup === NONE || setup === compiled.standing[station]) return;
      groups.set(setup, [...(groups.get(setup) ?? []), i]);
    });
    return [...groups].flatMap(([to, ops]) => {
      const others = matrix.flatMap((row, setup) => (setup === to ? [] : [row[to] as number]));
      const minutes = others.length > 0 ? Math.min(...others) : 0;
      return minutes > 0 ? [{ minutes, ops }] : [];
    });
  });
}

/**
 * One-machine jobs: the operations, by number, then the setups.
 *
 * heads, tails: earliest and latest starts by operation. A setup ends where the first of its operations starts, so no
 * sooner than the earliest of them can, and no later than the latest start of any of them.
 */
export function jobsByFinish(
  compiled: CompiledProblem,
  setups: readonly SetupJob[],
  heads: readonly number[],
  tails: readonly number[],
): Job[] {
  const { hours, minutes } = compiled;
  const jobs = heads.map((head, i): Job => {
    const end = endAt(compiled, i, tails[i] as number);
    return [openMinutes(hours, head), openMinutes(hours, end), minutes[i] as number];
  });
  const ofSetups = setups.map(({ minutes: setting, ops }): Job => {
    const first = Math.min(...ops.map((i) => (jobs[i] as Job)[0]));
    const last = Math.min(...ops.map((i) => tails[i] as number));
    return [Math.max(0, first - setting), openMinutes(hours, last), setting];
  });
  return [...jobs, ...ofSetups];
}

/**
 * True if no plan can be done by `finish`.
 *
 * heads: earliest starts by operation. Several pairs of hands are relaxed to one pair that has `hands` minutes in each
 * minute.
 */
function isRefuted(
  compiled: CompiledProblem,
  heads: readonly number[],
  setups: readonly SetupJob[],
  finish: number,
  hands: number,
): boolean {
  const tails = latestStarts(compiled, new Array<number>(heads.length).fill(finish));
  if (tails.some((tail, i) => tail < (heads[i] as number))) return true;
  const jobs = jobsByFinish(compiled, setups, heads, tails);
  return !canMeetDeadlines(jobs.map(([release, deadline, work]) => [hands * release, hands * deadline, work]));
}

/** True if one machine that may interrupt its jobs can do them all in time, earliest deadline first. */
export function canMeetDeadlines(jobs: readonly Job[]): boolean {
  const coming = [...jobs].sort(([a], [b]) => a - b);
  const waiting: Entry[] = []; // deadline, minutes left
  let [now, n] = [0, 0];
  while (n < coming.length || waiting.length > 0) {
    if (waiting.length === 0) now = Math.max(now, (coming[n] as Job)[0]);
    for (; n < coming.length && (coming[n] as Job)[0] <= now; n++) {
      const [, deadline, minutes] = coming[n] as Job;
      push(waiting, [deadline, minutes]);
    }
    const [deadline, left] = pop(waiting) as Entry;
    const done = Math.min(left, (coming[n]?.[0] ?? FAR) - now);
    now += done;
    if (done < left) push(waiting, [deadline, left - done]);
    if (now > deadline) return false;
  }
  return true;
}

/** Setup changes in any order: one for each needed setup that does not stand at the beginning. */
export function leastChanges(compiled: CompiledProblem): number {
  const needed = compiled.standing.map((standing) => new Set([standing]));
  compiled.station.forEach((at, i) => {
    const setup = compiled.setup[i] as number;
    if (setup >= 0) needed[at]?.add(setup);
  });
  return needed.reduce((sum, setups) => sum + setups.size - 1, 0);
}
