/**
 * The problem without the precedences of begun operations, for methods that keep that rule in another way.
 *
 * With several pairs of hands other work may start beside what is begun, only not before it: no minimal lag says that.
 */
import type { Problem } from "../../wire.gen.ts";
import { type CompiledProblem, compileProblem } from "./compiled_problem.ts";
import { closure } from "./precedence.ts";

/**
 * compiled: the problem with every begun flag cleared. begun: the operations that are begun.
 *
 * first: these and all their predecessors; nothing else may be taken up before them.
 */
type UnbegunProblem = {
  readonly compiled: CompiledProblem;
  readonly begun: ReadonlySet<number>;
  readonly first: ReadonlySet<number>;
};

/** The problem taken apart. Throws RangeError where a link or hold names an operation that is not there. */
export function withoutBegun(problem: Problem): UnbegunProblem {
  const compiled = compileProblem({ ...problem, ops: problem.ops.map((op) => ({ ...op, begun: false })) });
  const begun = problem.ops.flatMap((op, n) => (op.begun ? [n] : []));
  const predecessors = compiled.predecessors.map((lags) => lags.map(([before]) => before));
  return { compiled, begun: new Set(begun), first: closure(begun, predecessors) };
}
