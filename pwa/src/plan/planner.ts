/** The planner's door: from a problem to plans, each better than the one before. */
import type { Plan, Problem } from "../wire.gen.ts";
import { ALONE, crewPlans } from "./crew/plan.ts";
import { compileProblem } from "./model/compiled_problem.ts";
import { asAlike, differ, withHands } from "./model/hands.ts";
import { planOf, type Schedule } from "./model/schedule.ts";
import { type Budget, partOf } from "./search/budget.ts";
import { Search } from "./search/local_search.ts";
import type { Random } from "./search/random.ts";
import { isWorthChanging, keptSchedule, valuesOfPlan } from "./search/stability.ts";

/**
 * Plans, each better than the one before; the first comes at once.
 *
 * before: an earlier plan. It is kept, in the problem as it is now, until a new one is clearly better. Throws Refused if
 * some operations cannot be planned: leave these out first, with `feasiblePart`.
 */
export function* plansFor(
  problem: Problem,
  budget: Budget,
  random: Random,
  before: Plan | null = null,
): Generator<Plan, void> {
  if (problem.crew.length > 0 && !differ(problem)) {
    for (const plan of plansFor(asAlike(problem), budget, random, before)) yield withHands(problem, plan);
  } else if (problem.hands > 1) {
    const alone = plansFor({ ...problem, hands: 1, crew: [] }, partOf(budget, ALONE), random);
    yield* crewPlans(problem, alone, budget, random, before);
  } else if (problem.ops.length === 0) {
    yield nothingToDo(problem);
  } else {
    const [search, kept] = searchOf(problem, budget, random, before);
    yield* improvements(search, kept);
  }
}

function nothingToDo({ start }: Problem): Plan {
  return { placed: [], finish: start, changes: 0, overrun: 0, late: 0, bound: start, craft: 0, day: 0 };
}

/** The search for one pair of hands, and the earlier plan in the problem as it is now; null where it has none. */
function searchOf(
  problem: Problem,
  budget: Budget,
  random: Random,
  before: Plan | null,
): readonly [search: Search, kept: Schedule | null] {
  const compiled = compileProblem(problem);
  const kept = before && keptSchedule(compiled, before);
  return [new Search(compiled, budget, random, before && valuesOfPlan(compiled, before)), kept];
}

/** The kept plan first, if there is one; then those that are better, or clearly better than it. */
function* improvements(search: Search, kept: Schedule | null): Generator<Plan, void> {
  if (kept) yield planOf(search.compiled, kept, search.bound);
  for (const schedule of search.schedules())
    if (!kept || isWorthChanging(search.compiled, kept, schedule))
      yield planOf(search.compiled, schedule, search.bound);
}

/** The last of `plansFor`, and so the best. Throws Refused if some operations cannot be planned. */
function planFor(problem: Problem, budget: Budget, random: Random, before: Plan | null = null): Plan {
  return [...plansFor(problem, budget, random, before)].at(-1) as Plan;
}

/**
 * Plans to choose from: the earlier one, as far as it still holds, then the best that were found, best first.
 *
 * For several pairs of hands, the best alone. Throws Refused if some operations cannot be planned.
 */
export function bestPlans(problem: Problem, budget: Budget, random: Random, before: Plan | null = null): Plan[] {
  if (problem.hands > 1 || problem.ops.length === 0) return [planFor(problem, budget, random, before)];
  const [search, kept] = searchOf(problem, budget, random, before);
  for (const _ of search.schedules()); // to the end: what it found is in its pool
  const found = search.pool.all.map(({ schedule }) => schedule);
  return (kept ? [kept, ...found] : found).map((schedule) => planOf(search.compiled, schedule, search.bound));
}
