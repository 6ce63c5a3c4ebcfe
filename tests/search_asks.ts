/** What Python may ask of the page's search for one pair of hands, from its bounds to its plans. */
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { faultsIn, type Schedule } from "../pwa/src/plan/model/schedule.ts";
import { bestPlans, plansFor } from "../pwa/src/plan/planner.ts";
import { earliestStarts, latestStarts, leastChanges, lowerBound } from "../pwa/src/plan/search/bound.ts";
import { tries } from "../pwa/src/plan/search/budget.ts";
import { TO_MEND } from "../pwa/src/plan/search/craft_moves.ts";
import { unclampedEarly } from "../pwa/src/plan/search/early_unclamp.ts";
import { laterReleases, sharperBound } from "../pwa/src/plan/search/edge_finding.ts";
import { feasiblePart } from "../pwa/src/plan/search/infeasible.ts";
import { latestStartValues } from "../pwa/src/plan/search/initial.ts";
import { type Incumbent, TO_FINISH, TO_SAVE_SETUPS } from "../pwa/src/plan/search/moves.ts";
import { generateWithCheckpoints, type Priorities } from "../pwa/src/plan/search/parallel_generation.ts";
import { Random } from "../pwa/src/plan/search/random.ts";
import { changed } from "../pwa/src/plan/search/reordering.ts";
import { reversedProblem } from "../pwa/src/plan/search/reversed.ts";
import { rightShifted } from "../pwa/src/plan/search/right_shift.ts";
import { type DelayedOrder, generateResumed } from "../pwa/src/plan/search/serial_resumption.ts";
import { isClearlyBetter, isWorthChanging, keptSchedule, valuesOfPlan } from "../pwa/src/plan/search/stability.ts";
import type { Plan, Problem } from "../pwa/src/wire.gen.ts";

/** Values, setup weight, longest idle time and weight of craft. */
type Weighed = readonly [readonly number[], number, number, number];

/** The plans to choose from, for so many schedules tried. before: an earlier plan, or null. */
function best(problem: Problem, count: number, seed: number, before: Plan | null): readonly Plan[] {
  return bestPlans(problem, tries(count), new Random(seed), before);
}

/** The plans as they are found, each better than the one before. */
function plans(problem: Problem, count: number, seed: number, before: Plan | null): readonly Plan[] {
  return [...plansFor(problem, tries(count), new Random(seed), before)];
}

/** What can be planned, and the ids of the rest, in order. */
function feasible(problem: Problem): unknown {
  const [rest, leftOut] = feasiblePart(problem);
  return [rest, [...leftOut].sort()];
}

/** Heads, tails for these due times, least changes, priority values, and the bounds, the sharper one after some passes. */
function bounds(problem: Problem, due: readonly number[], hands: number, high: number, passes: number): unknown {
  const compiled = compileProblem(problem);
  let left = passes;
  return [
    earliestStarts(compiled),
    latestStarts(compiled, due),
    leastChanges(compiled),
    latestStartValues(compiled),
    lowerBound(compiled, high, hands),
    sharperBound(compiled, lowerBound(compiled, high), high, () => left-- <= 0),
  ];
}

/** What each move of each table makes of the same priorities, and a number drawn after it; null where none can be made. */
function moves(problem: Problem, seed: number, weighed: Weighed, due: readonly number[]): unknown {
  const compiled = compileProblem(problem);
  const [values, setupWeight, mostIdle, craft] = weighed;
  const priorities = { values, setupWeight, mostIdle, craft };
  const latest = latestStarts(compiled, due);
  const generated = generateWithCheckpoints(compiled, compiled.hours, priorities, latest);
  if (generated === null || generated.schedule.unplaced > 0) return null;
  const reverse = reversedProblem(compiled);
  return [...TO_FINISH, ...TO_SAVE_SETUPS, ...TO_MEND].map(([percent, move]) => {
    const random = new Random(seed);
    const at: Incumbent = {
      compiled,
      reverse,
      random,
      due,
      latest,
      priorities,
      schedule: generated.schedule,
      generated,
    };
    return [percent, prioritiesTold(move(at)), random.below(1000)];
  });
}

function prioritiesTold({ values, setupWeight, mostIdle, craft }: Priorities): Weighed {
  return [values, setupWeight, mostIdle, craft];
}

/** The order changed so often, with its delays, and what each change gives, from the order of the first best plan. */
function reordered(problem: Problem, seed: number, order: readonly number[], count: number): unknown {
  const compiled = compileProblem(problem);
  const random = new Random(seed);
  let at: DelayedOrder = { order, delays: new Map() };
  let generated = generateResumed(compiled, at);
  const told: unknown[] = [];
  for (let n = 0; n < count && generated; n++) {
    const schedule = rightShifted(compiled, generated.schedule);
    const other = changed(compiled, random, at, schedule, faultsIn(compiled, schedule));
    const found = generateResumed(compiled, other, generated);
    const shifted = found && rightShifted(compiled, found.schedule);
    told.push([other.order, [...other.delays].sort(([a], [b]) => a - b), scheduleTold(shifted)]);
    if (found === null) continue;
    at = other;
    generated = found;
  }
  return told;
}

/** The values that keep a plan, what is kept of it, and whether a change to another plan's order is worth it. */
function kept(problem: Problem, plan: Plan, other: Plan): unknown {
  const compiled = compileProblem(problem);
  const [old, next] = [keptSchedule(compiled, plan), keptSchedule(compiled, other)];
  return [valuesOfPlan(compiled, plan), scheduleTold(old), old && next && isWorthChanging(compiled, old, next)];
}

function scheduleTold(schedule: Schedule | null): unknown {
  if (schedule === null) return null;
  const { order, start, end, finish, changes } = schedule;
  return [order, start, end, finish, changes];
}

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const SEARCH_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  plan_best: (problem, count, seed, before) => best(problem, count, seed, before),
  plan_plans: (problem, count, seed, before) => plans(problem, count, seed, before),
  plan_feasible: (problem) => feasible(problem),
  plan_bounds: (problem, due, hands, high, passes) => bounds(problem, due, hands, high, passes),
  plan_releases: (jobs) => laterReleases(jobs),
  plan_moves: (problem, seed, weighed, due) => moves(problem, seed, weighed, due),
  plan_reordered: (problem, seed, order, count) => reordered(problem, seed, order, count),
  plan_unclamped: (problem, plan, acts) => unclampedEarly(problem, plan, acts),
  plan_clearly_better: (old, next) => isClearlyBetter(old, next),
  plan_kept: (problem, plan, other) => kept(problem, plan, other),
};
