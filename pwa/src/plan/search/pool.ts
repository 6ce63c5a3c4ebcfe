/** The best plans that were found, to go on from and to choose from. */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { compareRanks, type Rank, rank, type Schedule } from "../model/schedule.ts";
import type { Priorities } from "./parallel_generation.ts";

/** How many of the best plans are remembered, no two worth the same. */
const MOST = 12;

/** A schedule, what it is worth, and the priorities that led to it. */
export type Found = { readonly value: Rank; readonly priorities: Priorities; readonly schedule: Schedule };

/** The best of all that were found, one of each worth, whether better than those before or not. */
export class Pool {
  private readonly compiled: CompiledProblem;
  private readonly inOrder: Found[] = [];

  constructor(compiled: CompiledProblem) {
    this.compiled = compiled;
  }

  /** All of them, the best first. */
  get all(): readonly Found[] {
    return this.inOrder;
  }

  /** The best; there must be one. */
  get best(): Found {
    return this.inOrder[0] as Found;
  }

  /**
   * Put the schedule into the pool if it is among the best, and none there is worth the same; true if it is best.
   *
   * What is second best by another way is a better start than what the best one came from.
   */
  keep(priorities: Priorities, schedule: Schedule): boolean {
    const value = rank(this.compiled, schedule);
    const known = this.inOrder.findIndex((other) => compareRanks(value, other.value) <= 0);
    const place = known < 0 ? this.inOrder.length : known;
    const next = this.inOrder[place];
    if (place >= MOST || (next && compareRanks(value, next.value) === 0)) return false;
    this.inOrder.splice(place, 0, { value, priorities, schedule });
    if (this.inOrder.length > MOST) this.inOrder.pop();
    return place === 0;
  }
}
