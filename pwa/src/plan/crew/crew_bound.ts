/**
 * A lower bound on the finish for hands that differ: as `search/bound.ts`, with each hand's own hours and stations.
 *
 * For each set of hands that some operation is confined to, all operations and setups confined to it are one machine's
 * jobs, in the minutes for which these hands are there.
 */
import { type CompiledProblem, NONE } from "../model/compiled_problem.ts";
import { earliestStart, endOf, FAR, type Hours, hoursOf, latestStart, openMinutes } from "../model/hours.ts";
import { canMeetDeadlines, type Job, leastNotRefuted, type SetupJob, setupJobs } from "../search/bound.ts";
import { ableAt, type Crew, type CrewHand, isWithin } from "./crew.ts";

/** A minute before which no plan finishes. most: a finish that some plan reaches, or the end of all hours. */
export function crewBound(crew: Crew, most: number): number {
  const { compiled } = crew;
  const sets = setsOf(crew);
  const heads = earliestStarts(compiled, sets);
  const ends = heads.map((head, i) => endAt(compiled, sets, i, head) + (compiled.runs[i] as number));
  const low = ends.length > 0 ? Math.max(...ends) : compiled.start;
  const confined = sets.all.map((hands) => confinedTo(compiled, sets, hands, heads));
  return leastNotRefuted(low, Math.max(most, low), (finish) => isRefuted(compiled, sets, confined, heads, finish));
}

/** Hands that may do the same. hours: when any of them is there. there: the hours of each. */
type AbleHands = { readonly hands: readonly number[]; readonly hours: Hours; readonly there: readonly Hours[] };

/** all: the sets of hands that are able to do some operation, and that of all hands. of: by operation, its set. */
type Sets = { readonly all: readonly AbleHands[]; readonly of: readonly AbleHands[] };

/** What is confined to a set of hands, each with the minutes for which these are there before it may begin. */
type Confined = {
  readonly hands: AbleHands;
  readonly ops: readonly (readonly [i: number, release: number])[];
  readonly setups: readonly (readonly [setup: SetupJob, release: number])[];
};

function setsOf({ compiled, people }: Crew): Sets {
  const known = new Map<string, AbleHands>();
  const setAt = (station: number): AbleHands => {
    const hands = ableAt(people, station);
    const key = hands.join();
    const there = hands.map((n) => (people[n] as CrewHand).hours);
    const set = known.get(key) ?? { hands, hours: hoursTogether(there), there };
    known.set(key, set);
    return set;
  };
  setAt(NONE);
  const of = compiled.station.map(setAt);
  return { all: [...known.values()], of };
}

/** When at least one of these is open. */
function hoursTogether(several: readonly Hours[]): Hours {
  const windows = several.flatMap(({ opens, closes }) => {
    return opens.map((start, k) => ({ start, end: closes[k] as number }));
  });
  return hoursOf(windows, Math.min(...windows.map(({ start }) => start)));
}

/** The earliest end of an operation that starts then, whoever does it. */
function endAt(compiled: CompiledProblem, sets: Sets, i: number, start: number): number {
  const minutes = compiled.minutes[i] as number;
  if (start === FAR || !compiled.breakable[i]) return Math.min(FAR, start + minutes);
  return endOf((sets.of[i] as AbleHands).hours, start, minutes);
}

/** By operation, a minute before which it cannot start. */
function earliestStarts(compiled: CompiledProblem, sets: Sets): number[] {
  const start = compiled.ready.slice();
  for (const i of compiled.order) {
    const { hours } = sets.of[i] as AbleHands;
    const isBreakable = compiled.breakable[i] as boolean;
    const begin = earliestStart(hours, start[i] as number, compiled.minutes[i] as number, isBreakable);
    start[i] = begin;
    const end = endAt(compiled, sets, i, begin);
    for (const [j, lag] of compiled.successors[i] as CompiledProblem["successors"][number]) {
      start[j] = Math.max(start[j] as number, end + lag);
    }
  }
  return start;
}

/** By operation, the latest start for which all can still be done by `finish`. */
function latestStarts(compiled: CompiledProblem, sets: Sets, finish: number): number[] {
  const start = new Array<number>(compiled.ids.length).fill(0);
  for (const i of compiled.order.slice().reverse()) {
    let by = finish - (compiled.runs[i] as number);
    for (const [j, lag] of compiled.successors[i] as CompiledProblem["successors"][number]) {
      by = Math.min(by, (start[j] as number) - lag);
    }
    const { hours } = sets.of[i] as AbleHands;
    start[i] = latestStart(hours, by, compiled.minutes[i] as number, compiled.breakable[i] as boolean);
  }
  return start;
}

function confinedTo(compiled: CompiledProblem, sets: Sets, hands: AbleHands, heads: readonly number[]): Confined {
  const isConfined = (i: number) => isWithin((sets.of[i] as AbleHands).hands, hands.hands);
  const ops = heads.flatMap((head, i) => (isConfined(i) ? [[i, minutesUntil(hands, head)] as const] : []));
  const setups = setupJobs(compiled).flatMap((setup) => {
    if (!isConfined(setup.ops[0] as number)) return [];
    const first = minutesUntil(hands, Math.min(...setup.ops.map((i) => heads[i] as number)));
    return [[setup, Math.max(0, first - hands.hands.length * setup.minutes)] as const];
  });
  return { hands, ops, setups };
}

/** True if no plan can be done by `finish`. heads: earliest starts by operation. */
function isRefuted(
  compiled: CompiledProblem,
  sets: Sets,
  confined: readonly Confined[],
  heads: readonly number[],
  finish: number,
): boolean {
  const tails = latestStarts(compiled, sets, finish);
  if (tails.some((tail, i) => tail < (heads[i] as number))) return true;
  return confined.some((one) => !canMeetDeadlines(jobsOf(compiled, sets, one, tails)));
}

/** One machine's jobs, in minutes for which these hands are there. tails: latest starts by operation. */
function jobsOf(
  compiled: CompiledProblem,
  sets: Sets,
  { hands, ops, setups }: Confined,
  tails: readonly number[],
): Job[] {
  const ofOps = ops.map(([i, release]): Job => {
    const end = endAt(compiled, sets, i, tails[i] as number);
    return [release, minutesUntil(hands, end), compiled.minutes[i] as number];
  });
  const ofSetups = setups.map(([{ minutes, ops: needed }, release]): Job => {
    const last = Math.min(...needed.map((i) => tails[i] as number));
    return [release, minutesUntil(hands, last), minutes];
  });
  return [...ofOps, ...ofSetups];
}

/** For how many minutes these hands are there before `at`, summed. */
function minutesUntil({ there }: AbleHands, at: number): number {
  let minutes = 0;
  for (const hours of there) minutes += openMinutes(hours, at);
  return minutes;
}
