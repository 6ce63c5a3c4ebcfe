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
import { dueFor, FRUITLESS, type Guide, guide, POOL } from "./guidance.ts";
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

/** What a schedule is judged by, the priorities that make it, and the schedule. */
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
    const found = this.tried(prioritiesOf(this.values, 0, 0));
    return found && this.keep(found) ? found.schedule : null;
  }

  /** Schedules after the first, each better than the one before, until the budget is spent. */
  *schedules(): Generator<Schedule, void> {
    for (const [setupWeight, mostIdle] of WEIGHTS) {
      if (this.pool.length > 0 && this.budget() <= 0) return;
      const found = this.tried(prioritiesOf(this.values, setupWeight, mostIdle));
      if (found && this.keep(found)) yield found.schedule;
    }
    const [best] = this.pool;
    if (!best || this.values.length === 0) return;
    let [at, worth] = this.incumbent(best);
    let fruitless = 0;
    while (this.budget() > 0) {
      const found = this.tried(this.random.oneOf(MOVES)(at));
      fruitless += 1;
      if (found && this.keep(found)) {
        yield found.schedule;
        [at, worth] = this.incumbent(found);
        fruitless = 0;
      } else if (fruitless > FRUITLESS) {
        [at, worth] = this.incumbent(this.random.oneOf(this.pool));
        fruitless = 0;
      } else if (found) {
        const reached = guide(found.value, found.schedule.start, at.latest);
        if (compareRanks(reached, worth) > 0) continue;
        at.priorities = found.priorities;
        at.schedule = found.schedule;
        worth = reached;
      }
    }
  }

  /** The schedule that the priorities make; null where that leads nowhere. */
  private tried(priorities: Priorities): Found | null {
    const schedule = generateParallelForCrew(this.crew, priorities);
    return schedule && { value: objective(this.compiled, schedule), priorities, schedule };
  }

  /** Put the schedule into the pool if it is the best so far; true if it is. */
  private keep(found: Found): boolean {
    const [best] = this.pool;
    if (best && compareRanks(found.value, best.value) >= 0) return false;
    this.pool = [found, ...this.pool.slice(0, POOL - 1)];
    return true;
  }

  /** The schedule as a start for moves, and how far it is from a target somewhat before the best finish. */
  private incumbent({ value, priorities, schedule }: Found): [Incumbent, Guide] {
    const { compiled, random, bound } = this;
    const best = (this.pool[0] as Found).schedule.finish;
    const target = bound + Math.floor(((best - bound) * random.oneOf(TARGETS)) / 100);
    const due = dueFor(compiled, target, bound);
    const latest = latestStarts(compiled, due);
    const at = { compiled, reverse: compiled, random, due, latest, priorities, schedule, generated: null };
    return [at, guide(value, schedule.start, latest)];
  }
}
