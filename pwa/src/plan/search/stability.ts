/** Stability: the plan that stands is kept until another is clearly better, since nobody can work to a changing plan. */
import type { Plan } from "../../wire.gen.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { FAR } from "../model/hours.ts";
import { topologicalOrder } from "../model/precedence.ts";
import type { Objective } from "../model/problem.ts";
import { objective, type Schedule } from "../model/schedule.ts";
import { latestStarts } from "./bound.ts";
import { prioritiesOf, soonestFirst } from "./initial.ts";
import { generateParallel } from "./parallel_generation.ts";
import { generateSerial } from "./serial_generation.ts";

/** Minutes by which a plan must be better to replace the one before. Common practice, no source. */
export const MARGIN = 30;

/** By figure of the objective but the last, how much makes a clear difference. */
const MARGINS = [MARGIN, MARGIN, 1, MARGIN];

/** With all else within the margin, so many setup changes fewer are clearly better too. */
const FEWER_CHANGES = 2;

/** Priority values that keep the plan's order; operations new since then are placed by their latest starts. */
export function valuesOfPlan(compiled: CompiledProblem, plan: Plan): number[] {
  const start = new Map(plan.placed.map((placed) => [placed.op, placed.start]));
  const due = new Array<number>(compiled.ids.length).fill(Math.max(plan.finish, compiled.start));
  return soonestFirst(latestStarts(compiled, due).map((late, i) => start.get(compiled.ids[i] as string) ?? late));
}

/**
 * The earlier plan, generated again for the problem as it is now; null if that is infeasible.
 *
 * In exactly its order; or by its priorities, so that only what no longer fits before closing time moves back, if that is
 * clearly better.
 */
export function keptSchedule(compiled: CompiledProblem, plan: Plan): Schedule | null {
  const values = valuesOfPlan(compiled, plan);
  const never = new Array<number>(values.length).fill(FAR);
  let kept = serialByValue(compiled, values);
  for (const mostIdle of [FAR, 0]) {
    const mended = generateParallel(compiled, compiled.hours, prioritiesOf(values, 0, mostIdle), never);
    if (mended && mended.unplaced === 0 && (kept === null || isWorthChanging(compiled, kept, mended))) kept = mended;
  }
  return kept;
}

/** The greatest value first, as far as precedence allows, generated serially; null if that is infeasible. */
function serialByValue(compiled: CompiledProblem, values: readonly number[]): Schedule | null {
  const place = new Array<number>(values.length).fill(0);
  const byValue = [...values.keys()].sort((a, b) => (values[b] as number) - (values[a] as number));
  byValue.forEach((i, n) => {
    place[i] = n;
  });
  const pairs = compiled.successors.flatMap((after, i) => after.map(([j]) => [i, j] as const));
  return generateSerial(compiled, topologicalOrder(values.length, pairs, place));
}

/** True if the new schedule is clearly better. Both must place every operation. */
export function isWorthChanging(compiled: CompiledProblem, old: Schedule, next: Schedule): boolean {
  return isClearlyBetter(objective(compiled, old), objective(compiled, next));
}

/**
 * True if the next is better in the first figure that differs clearly; else if it has clearly fewer changes.
 *
 * Minutes differ clearly by the margin, the days of finish whenever they differ.
 */
export function isClearlyBetter(old: Objective, next: Objective): boolean {
  for (const [n, margin] of MARGINS.entries()) {
    const gain = (old[n] as number) - (next[n] as number);
    if (Math.abs(gain) >= margin) return gain > 0;
  }
  return (next.at(-1) as number) <= (old.at(-1) as number) - FEWER_CHANGES;
}
