/** What a plan that is a little better than the best so far would have to keep. */
import { type CompiledProblem, endAt } from "../model/compiled_problem.ts";
import type { Found } from "./pool.ts";

/**
 * By operation, when it should be done in such a plan, its run included.
 *
 * bound: a lower bound on the finish. heads: earliest starts by operation. percent: where the target lies on the way from
 * the bound to the best finish.
 */
export function dueForTarget(
  compiled: CompiledProblem,
  bound: number,
  heads: readonly number[],
  { value, schedule: { end, finish } }: Found,
  percent: number,
): number[] {
  const [, , late] = value;
  const runs = (i: number) => compiled.runs[i] as number;
  const between = (from: number, to: number) => from + Math.floor(((to - from) * percent) / 100);
  const target = late > 0 ? finish : between(bound, finish);
  const due = new Array<number>(end.length).fill(target);
  for (const piece of compiled.pieces) {
    const done = Math.max(...piece.ops.map((i) => (end[i] as number) + runs(i)));
    const earliest = Math.max(...piece.ops.map((i) => endAt(compiled, i, heads[i] as number) + runs(i)));
    const isLate = done > piece.due;
    const wanted = isLate ? Math.max(piece.due, between(earliest, done)) : Math.min(target, piece.due);
    for (const i of piece.ops) due[i] = wanted;
  }
  return due;
}
