/**
 * Which of the best plans: the one that is soonest done with durations as they may come, not only as planned.
 *
 * All meet the same luck (common random numbers), so that few samples tell them apart. The first stays unless another is
 * clearly better: nobody can work to a changing plan.
 */
import type { Pace, Plan, Problem } from "../../wire.gen.ts";
import { compareRanks, objective, orderOf } from "../model/schedule.ts";
import { MARGIN } from "../search/stability.ts";
import type { Task } from "../tasks/task.ts";
import { drawnMinutes } from "./draws.ts";
import { type Retiming, retimingOf } from "./retiming.ts";
import { durationsOf } from "./samples.ts";

/** How many re-timings a plan is judged by, and how many at least where there is very much to do. */
const SAMPLES = 36;
const LEAST_SAMPLES = 6;

/** Of all samples, one in so many tells which plans are worth the others; and how many are, besides the first. */
const SCREENING = 4;
const FINALISTS = 3;

/** How many operations are placed for one plan, at most. */
const MOST_PLACED = 8_000;

/** Standard errors by which a mean must be better. */
const SURE = 2n;

/** Of one sample: overrun, weighted tardiness, and finish with faults of craft, in minutes. */
export type Outcome = readonly [overrun: number, late: number, cost: number];

/** A plan, what came of it in the samples, and the sum of each figure, which compares as its mean does. */
type Judged = { readonly plan: Plan; readonly outcomes: readonly Outcome[]; readonly totals: readonly number[] };

/**
 * The first of these plans, or the one that is clearly better in the mean of its sampled outcomes.
 *
 * plans: one at least. Several pairs of hands keep the first. tasks: by the problem's operations.
 */
export function chosen(problem: Problem, tasks: ReadonlyMap<string, Task>, plans: readonly Plan[], pace: Pace): Plan {
  const [first, ...rest] = plans as [Plan, ...Plan[]];
  const others = rest.filter((plan) => compareRanks([plan.overrun, plan.late], [first.overrun, first.late]) <= 0);
  if (problem.hands > 1 || !others.length) return first;
  const retiming = retimingOf(problem);
  const count = Math.max(LEAST_SAMPLES, Math.min(SAMPLES, Math.floor(MOST_PLACED / problem.ops.length)));
  const minutes = drawnMinutes(pace, durationsOf(problem, tasks), count);
  const few = minutes.slice(0, Math.max(2, Math.floor(count / SCREENING)));
  const screened = others.map((plan) => judged(retiming, plan, few));
  const finalists = screened.sort(byTotals).slice(0, FINALISTS);
  const stands = judged(retiming, first, minutes);
  const luck = [stands, ...finalists.map(({ plan }) => judged(retiming, plan, minutes))];
  const best = luck.sort(byTotals)[0] ?? stands;
  return isClearlyLess(best.outcomes, stands.outcomes) ? best.plan : first;
}

function byTotals(one: Judged, other: Judged): number {
  return compareRanks(one.totals, other.totals);
}

/** By sample, what comes of the plan's order. minutes: by sample, those of each operation. */
function judged(retiming: Retiming, plan: Plan, minutes: readonly (readonly number[])[]): Judged {
  const { compiled, retime } = retiming;
  const order = orderOf(compiled, plan);
  const end = compiled.hours.closes.at(-1) ?? 0;
  const outcomes = minutes.map((sample): Outcome => {
    const schedule = retime(order, sample);
    if (!schedule) return [end, end, end];
    const [overrun, late, , cost] = objective(compiled, schedule); // the day says no more than the finish in the mean
    return [overrun, late, cost];
  });
  const totals = [0, 1, 2].map((n) => outcomes.reduce((sum, one) => sum + (one[n] as number), 0));
  return { plan, outcomes, totals };
}

/** Whether new is less in the first figure whose means clearly differ: by the margin, and beyond chance. */
export function isClearlyLess(now: readonly Outcome[], old: readonly Outcome[]): boolean {
  const count = BigInt(now.length);
  for (const figure of [0, 1, 2] as const) {
    const gains = now.map((one, n) => BigInt((old[n] as Outcome)[figure] - one[figure]));
    const gain = gains.reduce((sum, one) => sum + one, 0n);
    const spread = count * gains.reduce((sum, one) => sum + one * one, 0n) - gain * gain;
    const isFar = gain >= BigInt(MARGIN) * count || -gain >= BigInt(MARGIN) * count;
    if (isFar && gain * gain * (count - 1n) >= SURE * SURE * spread) return gain > 0n;
  }
  return false;
}
