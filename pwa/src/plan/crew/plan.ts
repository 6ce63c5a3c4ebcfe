/**
 * Plans for several pairs of hands, each better than the one before.
 *
 * The first comes at once from the parallel scheme. One pair of hands could do all the work alone, so plans for one pair
 * come next, and nothing worse comes out; where hands differ, each of these orders is timed for them. Then the parallel
 * scheme is searched, then orders of the relaxed project, and last moves from the best order.
 */
import { Refused } from "../../findings.ts";
import type { Plan, Problem } from "../../wire.gen.ts";
import { compareRanks, objectiveOf } from "../model/schedule.ts";
import type { Budget } from "../search/budget.ts";
import type { Random } from "../search/random.ts";
import { isClearlyBetter } from "../search/stability.ts";
import { crewOf } from "./crew.ts";
import { OrderSearch } from "./order_search.ts";

/** Share of the budget that is left when the search for one pair of hands ends. */
export const ALONE = 0.85;

const NO_HANDS = "Those who work here do not get all of it done in the hours that are known.";

/**
 * Plans for the problem's hands. alone: plans for one pair of hands, each better than the one before.
 *
 * before: an earlier plan, kept until a new one is clearly better. Throws Refused where hours or clamps are too few.
 */
export function* crewPlans(
  problem: Problem,
  alone: Iterable<Plan>,
  budget: Budget,
  random: Random,
  before: Plan | null,
): Generator<Plan, void> {
  const search = new OrderSearch(problem, crewOf(problem), budget, random);
  const kept = before && search.keptPlan(before);
  if (kept) yield kept;
  for (const plan of betterPlans(search, alone, kept)) {
    if (kept === null || isClearlyBetter(objectiveOf(kept), objectiveOf(plan))) yield plan;
  }
}

/**
 * Plans better than `kept`, each better than the one before: one at once, some for one pair of hands, then for all.
 *
 * Throws Refused where hours or clamps are too few for either.
 */
function* betterPlans(search: OrderSearch, alone: Iterable<Plan>, kept: Plan | null): Generator<Plan, void> {
  let best = kept;
  const first = search.firstPlan();
  if (isBetter(first, best)) {
    best = first;
    yield first;
  }
  let refused: Refused | null = null;
  try {
    if (best === null || search.budget() > ALONE) {
      for (const plan of alone) {
        const mine = search.timed(plan);
        if (!isBetter(mine, best)) continue;
        best = mine;
        yield mine;
      }
    }
  } catch (reason) {
    if (!(reason instanceof Refused)) throw reason;
    refused = reason;
  }
  for (const plan of search.plans(best)) {
    if (!isBetter(plan, best)) continue;
    best = plan;
    yield plan;
  }
  if (best === null) throw refused ?? new Refused(NO_HANDS, "Give more hours, or let more people use its stations.");
}

function isBetter(plan: Plan | null, than: Plan | null): plan is Plan {
  return plan !== null && (than === null || compareRanks(objectiveOf(plan), objectiveOf(than)) < 0);
}
