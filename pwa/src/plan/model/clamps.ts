/**
 * Counts of clamps and fixtures of all kinds, each kind a number. The server packs them into one whole number, which has
 * more bits than a number here can hold; so here they are counted kind by kind.
 */
import type { Problem } from "../../wire.gen.ts";
import { numbersOf } from "./precedence.ts";

/** How many of each kind an operation takes or gives back, by number of kind; no kind twice, none with a count of 0. */
export type Counts = readonly (readonly [kind: number, count: number])[];

/** What operations take and give back, and what is free at the beginning, by number of kind; negative if some lack. */
type ClampCounts = {
  readonly takes: readonly Counts[];
  readonly gives: readonly Counts[];
  readonly free: readonly number[];
};

/**
 * Counts taken by operation, given back by operation, and free at the beginning.
 *
 * Throws RangeError where a hold names an operation that is not there.
 */
export function clampCounts(problem: Problem): ClampCounts {
  const number = numbersOf(problem.ops);
  const kinds = [...new Set([...Object.keys(problem.clamps), ...problem.holds.map((hold) => hold.kind)])];
  const kindOf = new Map(kinds.map((kind, n) => [kind, n]));
  const free = kinds.map((kind) => problem.clamps[kind] ?? 0);
  const takes = problem.ops.map(() => new Map<number, number>());
  const gives = problem.ops.map(() => new Map<number, number>());
  for (const hold of problem.holds) {
    const kind = kindOf.get(hold.kind) as number;
    if (hold.take) add(takes[number(hold.take)] as Map<number, number>, kind, hold.count);
    else free[kind] = (free[kind] as number) - hold.count;
    if (hold.give) add(gives[number(hold.give)] as Map<number, number>, kind, hold.count);
  }
  return { takes: takes.map(sorted), gives: gives.map(sorted), free };
}

function add(counts: Map<number, number>, kind: number, count: number): void {
  counts.set(kind, (counts.get(kind) ?? 0) + count);
}

function sorted(counts: ReadonlyMap<number, number>): Counts {
  return [...counts].filter(([, count]) => count !== 0).sort(([a], [b]) => a - b);
}

/** Whether no clamp is missing if these are taken. free: by number of kind. */
export function suffices(free: readonly number[], takes: Counts): boolean {
  for (const [kind, count] of takes) if ((free[kind] as number) < count) return false;
  return true;
}

/** Take clamps from those that are free, by number of kind. */
export function take(free: number[], counts: Counts): void {
  for (const [kind, count] of counts) free[kind] = (free[kind] as number) - count;
}

/** Give clamps back to those that are free, by number of kind. */
export function giveBack(free: number[], counts: Counts): void {
  for (const [kind, count] of counts) free[kind] = (free[kind] as number) + count;
}
