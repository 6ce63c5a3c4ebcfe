/**
 * Early unclamping: clamps come off, and squeeze-out is cleaned, as soon as they may, where that makes nothing worse.
 *
 * The objective does not care how long clamps stay on, but a maker does: whoever is at the bench takes them off.
 */
import type { Plan, Problem } from "../../wire.gen.ts";
import { type CompiledProblem, compileProblem } from "../model/compiled_problem.ts";
import { asAlike, withHands } from "../model/hands.ts";
import { compareRanks, faultsIn, objective, objectiveOf, orderOf, planOf, type Schedule } from "../model/schedule.ts";
import { generateSerial } from "./serial_generation.ts";

/** Operations that are placed in all tries together, at most: about as long as a person waits without noticing. */
const MOST_PLACED = 30_000;

/**
 * The plan with these operations moved to the earliest place that makes the objective no worse.
 *
 * Those that are later than wanted come first; in a large shop the last are left where they are. A plan for several pairs
 * of hands is left as it is, and so is one with a delay that its order does not explain. Throws RangeError where the plan
 * names an operation that the problem does not have.
 */
export function unclampedEarly(problem: Problem, plan: Plan, acts: readonly string[]): Plan {
  if (problem.hands > 1) return plan;
  const compiled = compileProblem(asAlike(problem));
  let schedule = generateSerial(compiled, orderOf(compiled, plan));
  if (!schedule || compareRanks(objective(compiled, schedule), objectiveOf(plan)) > 0) return plan;
  let left = Math.floor(MOST_PLACED / Math.max(1, compiled.ids.length));
  for (const [n, i] of inTurn(compiled, schedule, acts).entries()) {
    if (left <= 0) break;
    const up = movedUp(compiled, schedule, i, Math.max(1, Math.floor(left / (acts.length - n))));
    schedule = up.schedule;
    left -= up.tries;
  }
  return withHands(problem, planOf(compiled, schedule, plan.bound));
}

/** The operations by number, those that begin later than wanted first, and among these as they start. */
function inTurn(compiled: CompiledProblem, schedule: Schedule, acts: readonly string[]): number[] {
  const number = new Map(compiled.ids.map((id, n) => [id, n]));
  const late = lateActs(compiled, schedule);
  const start = (i: number) => schedule.start[i] as number;
  return acts
    .map((id) => number.get(id) as number)
    .sort((a, b) => Number(late.has(b)) - Number(late.has(a)) || start(a) - start(b));
}

/** The operations that begin later than wanted. */
function lateActs(compiled: CompiledProblem, schedule: Schedule): ReadonlySet<number> {
  return new Set(faultsIn(compiled, schedule).flatMap(([kind, , i]) => (kind === "late act" ? [i] : [])));
}

/**
 * The schedule with operation `i` as early in the order as makes the objective no worse, and how many were tried.
 *
 * most: how many may be tried.
 */
function movedUp(
  compiled: CompiledProblem,
  schedule: Schedule,
  i: number,
  most: number,
): { readonly schedule: Schedule; readonly tries: number } {
  const { order, start, end } = schedule;
  const place = order.indexOf(i);
  const known = objective(compiled, schedule);
  let ready = compiled.ready[i] as number;
  for (const [before, lag] of compiled.predecessors[i] ?? []) ready = Math.max(ready, (end[before] as number) + lag);
  let tries = 0;
  for (let n = 0; n < place && tries < most; n++) {
    if ((start[order[n] as number] as number) < ready) continue;
    tries += 1;
    const tried = generateSerial(compiled, [
      ...order.slice(0, n),
      i,
      ...order.slice(n, place),
      ...order.slice(place + 1),
    ]);
    if (tried && compareRanks(objective(compiled, tried), known) <= 0) return { schedule: tried, tries };
  }
  return { schedule, tries };
}
