/** The local search over priorities for several pairs of hands, each tried by the parallel scheme. */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import type { Objective } from "../model/problem.ts";
import { compareRanks, objective, type Schedule } from "../model/schedule.ts";
import { latestStarts } from "../search/bound.ts";
import type { Budget } from "../search/budget.ts";
import { prioritiesOf } from "../search/initial.ts";
import {
  gather,
  type Incumbent,
  lift,
  nudge,
  repeated,
  restart,
  reweight,
  shake,
  shift,
  swap,
} from "../search/moves.ts";
import type { Priorities } from "../search/parallel_generation.ts";
import type { Random } from "../search/random.ts";
import type { Crew } from "./crew.ts";
import { dueFor, FRUITLESS, guide, POOL } from "./guidance.ts";
import { generateParallelForCrew } from "./parallel_generation.ts";

/** Setup weight and longest idle time of the schedules after the first, which has none of both. */
const WEIGHTS = [
  [4, 0],
  [16, 0],
  [4, 30],
  [8, 60],
] as const;

/** Where the target lies, in percent of the way from the bound to the best finish; drawn at random. */
const TARGETS = [0, 30, 60, 90];

const MOVES = repeated([
  [30, nudge],
  [20, lift],
  [8, swap],
  [17, shake],
  [5, gather],
  [3, shift],
  [4, restart],
  [13, reweight],
]);

type Found = { readonly value: Objective; readonly priorities: Priorities; readonly schedule: Schedule };

/** One search. */
export class ParallelSearch {
  private readonly crew: Crew;
  private readonly compiled: CompiledProblem;
  private readonly budget: Budget;
  private readonly random: Random;
  private readonly bound: number;
  private readonly values: readonly number[];
  /** The best so far, the best first. */
  private pool: readonly Found[] = [];

  /** bound: a lower bound on the finish. values: by operation, priority values to begin with. */
  constructor(crew: Crew, budget: Budget, random: Random, bound: number, values: readonly number[]) {
    this.crew = crew;
    this.compiled = crew.compiled;
    this.budget = budget;
    this.random = random;
    this.bound = bound;
    this.values = values;
  }

  /** The schedule of the values alone; null where that leads nowhere. */
  first(): Schedule | null {
    return this.tried(prioritiesOf(this.values, 0, 0));
  }

  /** Schedules after the first, each better than the one before, until the budget is spent. */
  *schedules(): Generator<Schedule, void> {
    for (const [setupWeight, mostIdle] of WEIGHTS) {
      if (this.pool.length > 0 && this.budget() <= 0) return;
      const schedule = this.tried(prioritiesOf(this.values, setupWeight, mostIdle));
      if (schedule) yield schedule;
    }
    const [best] = this.pool;
    if (!best || this.values.length === 0) return;
    let at = this.incumbent(best.priorities, best.schedule);
    let fruitless = 0;
    while (this.budget() > 0) {
      const priorities = this.random.oneOf(MOVES)(at);
      const found = generateParallelForCrew(this.crew, priorities);
      fruitless += 1;
      if (found && this.keep(priorities, found)) {
        yield found;
        at = this.incumbent(priorities, found);
        fruitless = 0;
      } else if (fruitless > FRUITLESS) {
        const other = this.random.oneOf(this.pool);
        at = this.incumbent(other.priorities, other.schedule);
        fruitless = 0;
      } else if (found && this.isNoWorse(found, at)) {
        at.priorities = priorities;
        at.schedule = found;
      }
    }
  }

  /** Whether the schedule is as good a start for moves as the incumbent. */
  private isNoWorse(found: Schedule, at: Incumbent): boolean {
    return compareRanks(guide(this.compiled, found, at.latest), guide(this.compiled, at.schedule, at.latest)) <= 0;
  }

  /** The schedule that the priorities make, where it is the best so far. */
  private tried(priorities: Priorities): Schedule | null {
    const schedule = generateParallelForCrew(this.crew, priorities);
    return schedule && this.keep(priorities, schedule) ? schedule : null;
  }

  /** Put the schedule into the pool if it is the best so far; true if it is. */
  private keep(priorities: Priorities, schedule: Schedule): boolean {
    const value = objective(this.compiled, schedule);
    const [best] = this.pool;
    if (best && compareRanks(value, best.value) >= 0) return false;
    this.pool = [{ value, priorities, schedule }, ...this.pool.slice(0, POOL - 1)];
    return true;
  }

  /** The schedule as a start for moves, with a target somewhat before the best finish. */
  private incumbent(priorities: Priorities, schedule: Schedule): Incumbent {
    const { compiled, random, bound } = this;
    const best = (this.pool[0] as Found).schedule.finish;
    const target = bound + Math.floor(((best - bound) * random.oneOf(TARGETS)) / 100);
    const due = dueFor(compiled, target, bound);
    return {
      compiled,
      reverse: compiled,
      random,
      due,
      latest: latestStarts(compiled, due),
      priorities,
      schedule,
      generated: null,
    };
  }
}
