/** Which share of the budget is left when the search turns to its last phase. */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import type { Rank } from "../model/schedule.ts";

/** Share of the budget that is left when the search turns to the order itself, where faults of craft do not count. */
const REORDER = 0.05;

/** The same where faults of craft count. */
const REORDER_CRAFT = 0.2;

/** The same with some overrun. */
const REORDER_OVERRUN = 0.5;

/** Share of the budget that is kept for changes to the order. best: the best that was found. */
export function reorderShare(compiled: CompiledProblem, best: Rank): number {
  if (best[1] > 0) return REORDER_OVERRUN;
  return compiled.craft ? REORDER_CRAFT : REORDER;
}
