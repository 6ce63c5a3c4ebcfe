/**
 * Where a parallel generation with other priorities may choose otherwise; nothing before and after it is redone.
 *
 * An operation is chosen for its cost, which is its value negated and what it loses now, never less. So a lesser value
 * changes nothing before the operation's own turn; a greater one, nothing while it still costs more than what was chosen.
 */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import type { Difference, Generated } from "./checkpoints.ts";
import type { Priorities } from "./parallel_generation.ts";

/**
 * Where the new priorities may choose otherwise; null if they never do.
 *
 * generated: what the old priorities made, with every operation placed.
 */
export function differenceBetween(
  compiled: CompiledProblem,
  old: Priorities,
  by: Priorities,
  generated: Generated,
): Difference | null {
  const { order } = generated.schedule;
  if (old.setupWeight !== by.setupWeight || old.mostIdle !== by.mostIdle || old.craft !== by.craft) {
    return { of: generated, first: 0, last: order.length };
  }
  const place = new Array<number>(order.length).fill(0);
  for (let n = 0; n < order.length; n++) place[order[n] as number] = n;
  let first = order.length;
  let last = 0;
  for (let i = 0; i < order.length; i++) {
    const value = by.values[i] as number;
    const was = old.values[i] as number;
    if (value === was) continue;
    const own = place[i] as number;
    last = Math.max(last, own);
    if (value < was) first = Math.min(first, own);
    else {
      let since = 0;
      for (const [before] of compiled.predecessors[i] as CompiledProblem["predecessors"][number])
        since = Math.max(since, (place[before] as number) + 1);
      first = Math.min(first, firstNoCheaper(generated.costs, -value, since, own));
    }
  }
  return first < order.length ? { of: generated, first, last } : null;
}

/** The first place in since … until - 1 at which what was chosen costs no less; the number of places without one. */
function firstNoCheaper(costs: readonly number[], cost: number, since: number, until: number): number {
  for (let n = since; n < until; n++) if ((costs[n] as number) >= cost) return n;
  return costs.length;
}
