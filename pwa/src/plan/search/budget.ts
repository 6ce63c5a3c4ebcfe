/**
 * How long the search may go on. Schedules are counted, so that the same bench gives the same plan on every machine.
 *
 * Twin of plan/search/budget.py, where the reasons stand.
 */

/** The share of a budget that is left: 1 at first, 0 or less when it is spent. Called once for each schedule tried. */
export type Budget = () => number;

const WORK = 150_000;
const LARGE = 600;
const LEAST_TRIES = 8;

/** A budget of so many schedules tried: the same on every machine. */
export function tries(count: number): Budget {
  let left = count;
  return () => {
    left -= 1;
    return left / count;
  };
}

/** How many schedules are tried for a plan that somebody waits for. operations: how many the problem has. */
export function triesFor(operations: number): number {
  return Math.max(LEAST_TRIES, Math.floor((WORK * LARGE) / (Math.max(1, operations) * (operations + LARGE))));
}

/** The same budget for what takes as long as so many tries, at least one: each asking counts as so many. */
export function dearer(budget: Budget, tries: number): Budget {
  return () => {
    let left = budget();
    for (let n = 1; n < tries; n++) left = Math.min(left, budget());
    return left;
  };
}

/** The first part of a larger budget: spent when only the share `until` of the larger one is left. */
export function partOf(budget: Budget, until: number): Budget {
  return () => (budget() - until) / (1 - until);
}
