/** The local search for several pairs of hands: over orders, each generated serially for the crew. */
import type { Plan, Problem } from "../../wire.gen.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { compareRanks, objective, orderOf, planOf, type Schedule, scheduleOf } from "../model/schedule.ts";
import { latestStarts, leastChanges, lowerBound } from "../search/bound.ts";
import { type Budget, dearer, partOf } from "../search/budget.ts";
import { latestStartValues, prioritiesOf, soonestFirst } from "../search/initial.ts";
import { gather, type Incumbent, lift, nudge, repeated, restart, shake, shift, swap } from "../search/moves.ts";
import type { Random } from "../search/random.ts";
import { valuesOfPlan } from "../search/stability.ts";
import { projectOf } from "./as_project.ts";
import type { Crew } from "./crew.ts";
import { crewBound } from "./crew_bound.ts";
import { crewWithLimits } from "./crew_generation.ts";
import { dueFor, FRUITLESS, guide, POOL } from "./guidance.ts";
import { ParallelSearch } from "./parallel_search.ts";
import { searchProject } from "./project_search.ts";

/**
 * Shares of the budget that are left when the search turns from the parallel scheme to the relaxed project, and from that
 * to moves on the order.
 */
const PARALLEL = 0.3;
const PROJECT = 0.2;

/**
 * What timing one order, and the first orders of the relaxed project, take at least, as multiples of the first plan.
 *
 * Less budget than that is better left unspent.
 */
const SERIAL_COST = 1.5;
const PROJECT_COST = 12;

/**
 * How many tries these count as: the first plan; an order timed; the relaxed project with its first schedule; each later
 * one. A schedule of the parallel scheme counts as one, and one more for each pair of hands.
 */
const FIRST_TRIES = 20;
const ORDER_TRIES = 7;
const PROJECT_TRIES = 150;
const MEMBER_TRIES = 10;

/** Where the target lies, in percent of the way from the bound to the best finish. */
const TARGET = 70;

const MOVES = repeated([
  [30, nudge],
  [15, lift],
  [15, swap],
  [14, shake],
  [15, gather],
  [7, shift],
  [4, restart],
]);

/** Schedules to look through; some tries give none. */
type Schedules = Generator<Schedule | null, void>;

/** One search. */
export class OrderSearch {
  readonly budget: Budget;
  private readonly problem: Problem;
  private readonly crew: Crew;
  private readonly compiled: CompiledProblem;
  /** The budget, asked where an order is timed. */
  private readonly dear: Budget;
  private readonly random: Random;
  /** A lower bound on the finish. */
  private readonly bound: number;
  private readonly leastChanges: number;
  /** By operation, its latest start, negated. */
  private readonly values: readonly number[];
  private readonly inParallel: ParallelSearch;
  /** The best so far, the best first. */
  private pool: readonly Schedule[] = [];
  /** The share of the budget that was spent for the first plan. */
  private firstCost = 0;

  constructor(problem: Problem, crew: Crew, budget: Budget, random: Random) {
    const { compiled } = crew;
    this.problem = problem;
    this.crew = crew;
    this.compiled = compiled;
    this.budget = budget;
    this.dear = dearer(budget, ORDER_TRIES);
    this.random = random;
    const most = compiled.hours.closes.at(-1) ?? compiled.start;
    this.bound = crew.people.length > 0 ? crewBound(crew, most) : lowerBound(compiled, most, crew.hands);
    this.leastChanges = leastChanges(compiled);
    this.values = latestStartValues(compiled);
    const inParallel = partOf(dearer(budget, 1 + crew.hands), PARALLEL);
    this.inParallel = new ParallelSearch(crew, inParallel, random, this.bound, this.values);
  }

  /** The earlier plan's order, generated for the problem as it is now; null if that is infeasible. */
  keptPlan(before: Plan): Plan | null {
    return this.planOf(crewWithLimits(this.crew, byValue(valuesOfPlan(this.compiled, before))));
  }

  /** One plan by the parallel scheme, the least latest start first; null where that leads nowhere. */
  firstPlan(): Plan | null {
    const found = this.inParallel.first();
    this.firstCost = 1 - dearer(this.budget, FIRST_TRIES)();
    const schedule = found && this.keptToRules(found);
    if (schedule) this.pool = [schedule];
    return this.planOf(schedule);
  }

  /** A plan for one pair of hands that may do everything, as it is for this crew; null if it is infeasible. */
  timed(alone: Plan): Plan | null {
    if (this.crew.people.length === 0) return this.planOf(scheduleOf(this.compiled, alone));
    this.dear();
    return this.planOf(crewWithLimits(this.crew, orderOf(this.compiled, alone)));
  }

  /** Plans, each better than the one before. begin: a plan whose order is tried too, if there is one. */
  *plans(begin: Plan | null): Generator<Plan, void> {
    const phases: readonly (readonly [cost: number, schedules: Schedules])[] = [
      [0, this.fromParallel()],
      [SERIAL_COST, this.fromPlan(begin)],
      [PROJECT_COST, this.fromProject()],
      [SERIAL_COST, this.fromMoves()],
    ];
    for (const [cost, schedules] of phases) {
      if ((begin || this.pool.length > 0) && this.budget() <= cost * this.firstCost) continue;
      for (const schedule of schedules) {
        if (!schedule || !this.isBetter(schedule)) continue;
        this.pool = [schedule, ...this.pool.slice(0, POOL - 1)];
        yield planOf(this.compiled, schedule, this.bound);
      }
    }
  }

  private planOf(schedule: Schedule | null): Plan | null {
    return schedule && planOf(this.compiled, schedule, this.bound);
  }

  /** A schedule of the parallel scheme, timed anew where the scheme leaves out a rule; null if infeasible. */
  private keptToRules(found: Schedule): Schedule | null {
    const { maxLags, by } = this.compiled;
    const isLeftOut = this.crew.begun.size > 0 || maxLags.length > 0 || by.size > 0;
    return isLeftOut ? crewWithLimits(this.crew, found.order) : found;
  }

  private isBetter(schedule: Schedule): boolean {
    const [best] = this.pool;
    return !best || compareRanks(objective(this.compiled, schedule), objective(this.compiled, best)) < 0;
  }

  /** The schedule of a plan's order; without a plan, of the order by latest starts. */
  private *fromPlan(plan: Plan | null): Schedules {
    yield crewWithLimits(this.crew, plan ? orderOf(this.compiled, plan) : byValue(this.values));
  }

  /** Schedules of the orders that the parallel scheme finds best. */
  private *fromParallel(): Schedules {
    for (const found of this.inParallel.schedules()) yield this.keptToRules(found);
  }

  /** Schedules of the orders in which the relaxed project is done best. */
  private *fromProject(): Schedules {
    if (this.budget() <= PROJECT) return;
    let best = null;
    let budget = dearer(this.budget, PROJECT_TRIES);
    for (const found of searchProject(projectOf(this.problem, this.crew), this.random)) {
      if (budget() <= PROJECT) return;
      budget = dearer(this.budget, MEMBER_TRIES);
      if (found === best) continue;
      best = found;
      const soonest = soonestFirst(found.start.slice(0, this.compiled.ids.length));
      yield crewWithLimits(this.crew, byValue(soonest));
    }
  }

  /** Schedules after moves, guided by lateness against a target. */
  private *fromMoves(): Schedules {
    const [best] = this.pool;
    if (!best) return;
    let at = this.incumbent(best);
    let fruitless = 0;
    while (this.dear() > 0 && !this.isOptimal()) {
      const priorities = this.random.oneOf(MOVES)(at);
      const schedule = crewWithLimits(this.crew, byValue(priorities.values));
      yield schedule;
      const isBest = this.pool[0] === schedule;
      if (isBest || fruitless > FRUITLESS) {
        at = this.incumbent(isBest ? (schedule as Schedule) : this.random.oneOf(this.pool));
        fruitless = 0;
        continue;
      }
      fruitless += 1;
      if (schedule && this.isNoWorse(schedule, at)) {
        at.priorities = priorities;
        at.schedule = schedule;
      }
    }
  }

  /** Whether the schedule is as good a start for moves as the incumbent. */
  private isNoWorse(found: Schedule, at: Incumbent): boolean {
    const guideOf = (one: Schedule) => guide(objective(this.compiled, one), one.start, at.latest);
    return compareRanks(guideOf(found), guideOf(at.schedule)) <= 0;
  }

  /** The schedule as a start for moves: values that keep its order, and a target somewhat before its finish. */
  private incumbent(schedule: Schedule): Incumbent {
    const { compiled, random, bound } = this;
    const due = dueFor(compiled, bound + Math.floor(((schedule.finish - bound) * TARGET) / 100), bound);
    const latest = latestStarts(compiled, due);
    const priorities = prioritiesOf(soonestFirst(schedule.start), 0, 0);
    return { compiled, reverse: compiled, random, due, latest, priorities, schedule, generated: null };
  }

  /** True if the best schedule reaches the bounds, so that none can be better. */
  private isOptimal(): boolean {
    const [overrun, late, , cost, changes] = objective(this.compiled, this.pool[0] as Schedule);
    return overrun + late === 0 && cost <= this.bound && changes <= this.leastChanges;
  }
}

/** Operations, the greatest value first. */
function byValue(values: readonly number[]): number[] {
  return [...values.keys()].sort((a, b) => (values[b] as number) - (values[a] as number));
}
