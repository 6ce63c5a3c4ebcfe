/** What guides both searches for several pairs of hands: a target before the finish, and how late work is for it. */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import type { Objective } from "../model/problem.ts";

/** Tries without a better schedule after which a search goes on from another one of its pool. */
export const FRUITLESS = 100;

/** How many of the best schedules a search remembers. */
export const POOL = 12;

/**
 * By operation, when it should be done for a finish at `target`: no later than its piece is due, if that can be.
 *
 * bound: a lower bound on the finish; a piece that is due before it is wanted by then.
 */
export function dueFor(compiled: CompiledProblem, target: number, bound: number): number[] {
  const due = new Array<number>(compiled.ids.length).fill(target);
  for (const piece of compiled.pieces) for (const i of piece.ops) due[i] = Math.min(target, Math.max(piece.due, bound));
  return due;
}

/** How far a schedule is from a target, less is better: overrun, lateness and tardiness together, changes. */
export type Guide = readonly [overrun: number, late: number, changes: number];

/**
 * What guides a search. value: what the schedule is judged by. start: of the schedule, by operation.
 *
 * latest: by operation, its latest start for the target.
 */
export function guide(value: Objective, start: readonly number[], latest: readonly number[]): Guide {
  const [overrun, late, , , changes] = value;
  let behind = 0;
  for (let i = 0; i < latest.length; i++) behind += Math.max(0, (start[i] as number) - (latest[i] as number));
  return [overrun, late + behind, changes];
}
