/** How long the search may go on. Time comes in as a clock, so that the same number of tries gives the same plan. */

/** The share of a budget that is left: 1 at first, 0 or less when it is spent. Called once for each schedule tried. */
export type Budget = () => number;

/** A budget of so many schedules tried: the same on every machine. */
export function tries(count: number): Budget {
  let left = count;
  return () => {
    left -= 1;
    return left / count;
  };
}

/** A budget of so many seconds from now on. clock: gives seconds. */
export function within(seconds: number, clock: () => number): Budget {
  const began = clock();
  return () => 1 - (clock() - began) / seconds;
}

/** The first part of a larger budget: spent when only the share `until` of the larger one is left. */
export function partOf(budget: Budget, until: number): Budget {
  return () => (budget() - until) / (1 - until);
}

/** The same budget for what takes as long as so many tries, at least one: each asking counts as so many. */
export function dearer(budget: Budget, tries: number): Budget {
  return () => {
    let left = budget();
    for (let more = 1; more < tries; more++) left = Math.min(left, budget());
    return left;
  };
}
