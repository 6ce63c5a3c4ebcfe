/**
 * The local search: change the priorities a little, generate a schedule in parallel, keep it if it is no worse.
 *
 * Finishes come in steps: lunch, evening, weekend; most changes do not move them. So the search is guided by lateness, the
 * minutes past the latest starts that a slightly earlier finish would need. The finish itself only tells which plan is
 * best.
 *
 * Phases, by share of the budget: a first schedule; forward and backward passes in turn; moves towards an earlier finish;
 * moves towards fewer faults of craft and setup changes; changes to the order itself.
 */
import { Refused } from "../../findings.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { FAR } from "../model/hours.ts";
import { compareRanks, faultsIn, overrunOf, rank, type Schedule } from "../model/schedule.ts";
import { earliestStarts, latestStarts, leastChanges, lowerBound } from "./bound.ts";
import type { Budget } from "./budget.ts";
import type { Generated } from "./checkpoints.ts";
import { TO_MEND } from "./craft_moves.ts";
import { sharperBound } from "./edge_finding.ts";
import { initialSchedule, latestStartValues, parallelWithLimits, prioritiesOf, soonestFirst } from "./initial.ts";
import { type Incumbent, repeated, TO_FINISH, TO_SAVE_SETUPS } from "./moves.ts";
import { generateWithCheckpoints, type Priorities } from "./parallel_generation.ts";
import { type Found, Pool } from "./pool.ts";
import type { Random } from "./random.ts";
import { changed } from "./reordering.ts";
import { differenceBetween } from "./resumption.ts";
import { latestByBackwardPass, reversedProblem } from "./reversed.ts";
import { rightShifted } from "./right_shift.ts";
import { type DelayedOrder, generateResumed } from "./serial_resumption.ts";
import { reorderShare } from "./shares.ts";
import { dueForTarget } from "./targets.ts";

/**
 * Where the target lies, in percent of the way from the bound to the best finish; drawn at random, since what leads past
 * one closing time leads nowhere at another.
 */
const TARGETS = [0, 30, 60, 90];

/** Tries without a better plan after which the search goes on from another plan of the pool. */
const FRUITLESS = 100;

/** Forward and backward passes for each pair of weights. */
const ROUNDS = 5;

/** Share of the budget that is left when the search turns to fewer setup changes at the same finish. */
const SAVE_SETUPS = 0.25;

/** The same where faults of craft count, which are mended then. */
const MEND = 0.35;

/** Share of the budget that is left when edge finding ends at the latest. */
const PROVE = 0.85;

/** How many tries one pass of edge finding counts as: about as long as it takes. */
const TRIES_OF_A_PASS = 8;

/** Operations up to which edge finding, whose time grows with their square, is tried. */
const MOST_TO_PROVE = 300;

/** Setup weight and longest idle time of the first schedules. */
const WEIGHTS = [
  [0, 0],
  [4, 0],
  [16, 0],
  [4, 30],
  [8, 60],
  [2, 15],
] as const;

/** One search, for one pair of hands. */
export class Search {
  readonly compiled: CompiledProblem;
  /** A lower bound on the finish. */
  bound: number;
  /** The best of all that were found. */
  readonly pool: Pool;
  private readonly budget: Budget;
  private readonly random: Random;
  private readonly reverse: CompiledProblem;
  private readonly heads: readonly number[];
  private readonly leastChanges: number;
  private readonly values: readonly number[];

  /** values: by operation, priority values to begin with, such as those of an earlier plan; latest starts without any. */
  constructor(compiled: CompiledProblem, budget: Budget, random: Random, values: readonly number[] | null) {
    this.compiled = compiled;
    this.budget = budget;
    this.random = random;
    this.pool = new Pool(compiled);
    this.reverse = reversedProblem(compiled);
    this.heads = earliestStarts(compiled);
    this.leastChanges = leastChanges(compiled);
    this.values = values ?? latestStartValues(compiled);
    this.bound = lowerBound(compiled, compiled.hours.closes.at(-1) ?? compiled.start);
  }

  /** Schedules of all operations, each better than the one before. Throws Refused if some operations cannot be placed. */
  *schedules(): Generator<Schedule, void> {
    yield this.first();
    yield* this.forwardAndBackward();
    this.prove();
    yield* this.finishEarlier();
    yield* this.saveSetups();
    yield* this.reorder();
  }

  /** The best that was found. */
  private get best(): Found {
    return this.pool.best;
  }

  /** True if only this share of the budget is left, or no plan can be better. */
  private isOver(share: number): boolean {
    return this.budget() <= share || this.isOptimal();
  }

  /** True if the best plan reaches the bounds, so that none can be better. */
  private isOptimal(): boolean {
    const [unplaced, overrun, late, , cost, changes] = this.best.value;
    return unplaced + overrun + late === 0 && cost <= this.bound && changes <= this.leastChanges;
  }

  /** True if no plan can finish earlier or be less late. */
  private isEarliest(): boolean {
    const [unplaced, overrun, late] = this.best.value;
    return unplaced + overrun + late === 0 && this.best.schedule.finish <= this.bound;
  }

  /** One schedule at once. Throws Refused if some operations cannot be placed. */
  private first(): Schedule {
    const schedule = initialSchedule(this.compiled, this.values);
    if (schedule.unplaced > 0)
      throw new Refused(
        `${schedule.unplaced} of ${this.values.length} operations cannot be planned.`,
        "Leave out what cannot be planned.",
      );
    this.pool.keep(prioritiesOf(this.values, ...WEIGHTS[0]), schedule);
    return schedule;
  }

  /**
   * Forward-backward improvement: the latest starts of a backward pass are the values of the next forward pass; here for
   * several weights, and with a calendar.
   */
  private *forwardAndBackward(): Generator<Schedule, void> {
    for (const [setupWeight, mostIdle] of WEIGHTS) {
      let priorities = prioritiesOf(this.values, setupWeight, mostIdle);
      for (let round = 0; round < ROUNDS; round++) {
        if (this.isOver(0)) return;
        const schedule = parallelWithLimits(this.compiled, priorities);
        if (this.pool.keep(priorities, schedule)) yield schedule;
        const due = this.all(schedule.finish);
        const lastFirst = prioritiesOf(schedule.end, setupWeight, mostIdle);
        const latest = latestByBackwardPass(this.compiled, this.reverse, due, lastFirst);
        priorities = prioritiesOf(soonestFirst(latest ?? latestStarts(this.compiled, due)), setupWeight, mostIdle);
      }
    }
  }

  /** Raise the bound by edge finding, for a small part of the budget, where the finish is what can be better. */
  private prove(): void {
    const [, overrun, late] = this.best.value;
    const { finish } = this.best.schedule;
    if (this.values.length > MOST_TO_PROVE || overrun + late > 0 || finish <= this.bound) return;
    this.bound = sharperBound(this.compiled, this.bound, finish, () => this.isPassSpent());
  }

  /** True if nothing is left of the budget's part for proving. A pass counts as several tries. */
  private isPassSpent(): boolean {
    return Math.min(...Array.from({ length: TRIES_OF_A_PASS }, this.budget)) <= PROVE;
  }

  /** By operation, when it should be done in a plan that is a little better than the best so far. */
  private targets(): number[] {
    return dueForTarget(this.compiled, this.bound, this.heads, this.best, this.random.oneOf(TARGETS));
  }

  /** This moment for each operation. */
  private all(moment: number): number[] {
    return new Array<number>(this.values.length).fill(moment);
  }

  /** The solution of these priorities, to start moves from, with this target. */
  private incumbent(priorities: Priorities, due: readonly number[]): Incumbent {
    const { compiled, reverse, random } = this;
    const latest = latestStarts(compiled, due);
    const generated = generateWithCheckpoints(compiled, compiled.hours, priorities, latest) as Generated;
    return { compiled, reverse, random, due, latest, priorities, schedule: generated.schedule, generated };
  }

  /**
   * What these priorities make, of which only what may differ from the incumbent is generated.
   *
   * null if it is later than `mostLate`; the incumbent's own, if nothing differs.
   */
  private generate(at: Incumbent, priorities: Priorities, mostLate: number): Generated | null {
    const { compiled } = this;
    const own = at.generated?.schedule.unplaced === 0 ? at.generated : null;
    const difference = own && differenceBetween(compiled, at.priorities, priorities, own);
    if (own && !difference) return own;
    return generateWithCheckpoints(compiled, compiled.hours, priorities, at.latest, mostLate, difference);
  }

  /** Moves, guided by lateness against a moving target. */
  private *finishEarlier(): Generator<Schedule, void> {
    const moves = repeated(TO_FINISH);
    let at = this.incumbent(this.best.priorities, this.targets());
    let fruitless = 0;
    const share = Math.max(this.compiled.craft ? MEND : SAVE_SETUPS, reorderShare(this.compiled, this.best.value));
    while (!this.isOver(share) && !this.isEarliest()) {
      const priorities = this.random.oneOf(moves)(at);
      const guide = this.guide(at.schedule);
      const [unplaced, overrun, lateness] = guide;
      const found = this.generate(at, priorities, unplaced + overrun > 0 ? FAR : lateness);
      fruitless += 1;
      if (found === at.generated) {
        at.priorities = priorities;
      } else if (found && this.pool.keep(priorities, rightShifted(this.compiled, found.schedule))) {
        yield this.best.schedule;
        at = this.incumbent(priorities, this.targets());
        fruitless = 0;
      } else if (found && compareRanks(this.guide(found.schedule), guide) <= 0) {
        Object.assign(at, { priorities, schedule: found.schedule, generated: found });
      }
      if (fruitless > FRUITLESS) {
        at = this.incumbent(this.random.oneOf(this.pool.all).priorities, this.targets());
        fruitless = 0;
      }
    }
  }

  /** What guides the search in place of the objective, less is better: unplaced, overrun, lateness. */
  private guide(schedule: Schedule): readonly [number, number, number] {
    const overrun = schedule.unplaced > 0 ? 0 : overrunOf(this.compiled, schedule);
    return [schedule.unplaced, overrun, schedule.lateness];
  }

  /** Moves, guided by the objective itself: mostly towards fewer faults and setup changes on the same day. */
  private *saveSetups(): Generator<Schedule, void> {
    const moves = repeated(this.compiled.craft ? TO_MEND : TO_SAVE_SETUPS);
    let { value } = this.best;
    const at = this.incumbent(this.best.priorities, this.all(this.latestFinish()));
    const mostLate = value[1] + value[2] > 0 ? FAR : 0;
    while (!this.isOver(reorderShare(this.compiled, this.best.value))) {
      const priorities = this.random.oneOf(moves)(at);
      const found = this.generate(at, priorities, mostLate);
      if (found === null) continue;
      if (found === at.generated) {
        at.priorities = priorities;
        continue;
      }
      const schedule = rightShifted(this.compiled, found.schedule);
      const worth = rank(this.compiled, schedule);
      if (compareRanks(worth, value) <= 0) {
        Object.assign(at, { priorities, schedule, generated: found });
        value = worth;
      }
      if (this.pool.keep(priorities, schedule)) yield schedule;
    }
  }

  /** The latest finish that a better plan could have: on the same day, if craft gains what it is later. */
  private latestFinish(): number {
    const [, , , day, cost] = this.best.value;
    return Math.min(cost, this.compiled.mornings[day] ?? cost);
  }

  /** Small changes to the best plan's order, each kept if it is no worse. */
  private *reorder(): Generator<Schedule, void> {
    const { priorities } = this.best;
    let { value, schedule } = this.best;
    let order: DelayedOrder = { order: schedule.order, delays: new Map() };
    let faults = faultsIn(this.compiled, schedule);
    let generated = generateResumed(this.compiled, order);
    while (!this.isOver(0)) {
      const other = changed(this.compiled, this.random, order, schedule, faults);
      const found = generateResumed(this.compiled, other, generated);
      if (found === null) continue;
      const shifted = rightShifted(this.compiled, found.schedule);
      const amiss = faultsIn(this.compiled, shifted);
      const worth = rank(this.compiled, shifted, amiss);
      const by = compareRanks(worth, value);
      if (by > 0) continue;
      order = other;
      generated = found;
      schedule = shifted;
      faults = amiss;
      value = worth;
      if (by === 0) continue;
      this.pool.keep(priorities, schedule);
      yield schedule;
    }
  }
}
