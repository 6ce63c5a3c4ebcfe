/**
 * The resource-constrained project scheduling problem (RCPSP): activities, precedence, renewable resources.
 *
 * Knows nothing of a shop: resources are numbered, times are whole units from 0, and no activity is interrupted.
 */
import { Refused } from "../../findings.ts";

/** One activity. needs: units of each resource, by its number; after: the activities that must end before it. */
export type Activity = {
  readonly minutes: number;
  readonly needs: readonly number[];
  readonly after: readonly number[];
};

/** capacities: units of each resource at any time. An activity's number is its place in the list. */
export type Project = { readonly capacities: readonly number[]; readonly activities: readonly Activity[] };

/** Start and end of each activity, by number. finish: end of the last. bound: a lower bound on any finish. */
export type ProjectSchedule = {
  readonly start: readonly number[];
  readonly end: readonly number[];
  readonly finish: number;
  readonly bound: number;
};

/**
 * Activity numbers, each after its predecessors.
 *
 * Throws Refused where activities wait for each other in a cycle, or one needs more than the capacity.
 */
export function topological({ activities, capacities }: Project): number[] {
  for (const [number, { needs }] of activities.entries()) {
    if (needs.some((need, resource) => need > (capacities[resource] as number))) {
      throw new Refused(`Activity ${number} needs (${needs}) of (${capacities}).`, "Provide more of it.");
    }
  }
  const successors: number[][] = activities.map(() => []);
  const waits = activities.map(({ after }, number) => {
    const before = new Set(after);
    for (const other of before) successors[other]?.push(number);
    return before.size;
  });
  const order: number[] = [];
  let free = [...waits.keys()].filter((number) => waits[number] === 0);
  while (free.length > 0) {
    order.push(...free);
    const next: number[] = [];
    for (const number of free) {
      for (const after of successors[number] as number[]) {
        waits[after] = (waits[after] as number) - 1;
        if (waits[after] === 0) next.push(after);
      }
    }
    free = next.sort((a, b) => a - b);
  }
  if (order.length < activities.length) {
    const left = [...waits.keys()].filter((number) => (waits[number] as number) > 0);
    throw new Refused(`Activities ${left} wait for each other.`, "Take out one of their waits.");
  }
  return order;
}
