/**
 * The parallel schedule generation scheme for one pair of hands, with calendar, setups, clamps and maximal lags.
 *
 * Time goes forward. At each moment the eligible operation with the greatest priority value is started; if none can
 * start, time moves on to when one can. Values are static, less what setting up, idling and exceeded lags would cost now.
 */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { FAR, type Hours } from "../model/hours.ts";
import type { Schedule } from "../model/schedule.ts";
import {
  type Checkpoint,
  checkpointAt,
  checkpointsFrom,
  type Difference,
  type Generated,
  isOver,
  stepFor,
} from "./checkpoints.ts";
import { Eligible } from "./eligible.ts";
import { WindowCursor } from "./window_cursor.ts";

/**
 * How to choose. values: by operation, the greater the sooner.
 *
 * setupWeight: value lost for each minute of setting up. mostIdle: minutes to stay idle for an operation at most. craft:
 * value lost for each minute that a fault of craft costs; 0 where craft is left out of account.
 */
export type Priorities = {
  readonly values: readonly number[];
  readonly setupWeight: number;
  readonly mostIdle: number;
  readonly craft: number;
};

/** The weight of craft where there is no reason for another. */
export const CRAFT_WEIGHT = 4;

/**
 * The schedule that the priorities make; null as soon as its lateness exceeds `mostLate`.
 *
 * hours: in place of the problem's own. latest: by operation, the start from which on it counts as late, in minutes.
 */
export function generateParallel(
  compiled: CompiledProblem,
  hours: Hours,
  priorities: Priorities,
  latest: readonly number[],
  mostLate = FAR,
): Schedule | null {
  return generateWithCheckpoints(compiled, hours, priorities, latest, mostLate)?.schedule ?? null;
}

/**
 * As `generateParallel`, with what is needed to generate others from part of it.
 *
 * With a difference, only what may differ is generated: from the last checkpoint before it, until both are in the same
 * state again. The hours must be the same too.
 */
export function generateWithCheckpoints(
  compiled: CompiledProblem,
  hours: Hours,
  priorities: Priorities,
  latest: readonly number[],
  mostLate = FAR,
  difference: Difference | null = null,
): Generated | null {
  const generation = new ParallelGeneration(compiled, hours, priorities, latest);
  if (difference) generation.resume(difference);
  return generation.isWithin(mostLate, difference) ? generation.generated() : null;
}

/** A schedule that is being generated: the moment, what is placed until then, and what may come next. */
class ParallelGeneration {
  private readonly compiled: CompiledProblem;
  private readonly latest: readonly number[];
  private readonly calendar: WindowCursor;
  private readonly state: Eligible;
  private readonly step: number;
  private now: number;
  private changes = 0;
  private lateness = 0;
  private order: number[] = [];
  private costs: number[] = [];
  private start: number[];
  private end: number[];
  private checkpoints: Checkpoint[] = [];

  constructor(compiled: CompiledProblem, hours: Hours, priorities: Priorities, latest: readonly number[]) {
    this.compiled = compiled;
    this.latest = latest;
    this.calendar = new WindowCursor(hours);
    const { values, setupWeight, mostIdle, craft } = priorities;
    this.state = new Eligible(compiled, hours, values, setupWeight, mostIdle, craft);
    this.step = stepFor(compiled.minutes.length);
    this.now = this.calendar.open;
    this.start = compiled.minutes.map(() => 0);
    this.end = this.start.slice();
  }

  /** Go on from the last checkpoint before the difference. */
  resume({ of, first }: Difference): void {
    const { place, changes, lateness, state } = checkpointAt(of, first);
    this.now = state.now;
    this.changes = changes;
    this.lateness = lateness;
    this.order = of.schedule.order.slice(0, place);
    this.costs = of.costs.slice(0, place);
    this.start = of.schedule.start.slice();
    this.end = of.schedule.end.slice();
    this.checkpoints = of.checkpoints.slice(0, place / this.step);
    this.calendar.goTo(state.window);
    this.state.goTo(state);
  }

  /** Place what can be placed; false as soon as the lateness exceeds `mostLate`. */
  isWithin(mostLate: number, difference: Difference | null): boolean {
    const { state, calendar, order } = this;
    let mark = order.length;
    while (this.lateness <= mostLate) {
      if (state.eligible.length === 0 || this.now >= FAR) return true;
      if (order.length === mark) {
        const reached = state.at(this.now, calendar.window);
        if (difference && isOver(difference, mark, reached)) {
          this.takeRest(difference.of, mark);
          return this.lateness <= mostLate;
        }
        this.checkpoints.push({ place: mark, changes: this.changes, lateness: this.lateness, state: reached });
        mark += this.step;
      }
      const place = state.choose(this.now, calendar.close);
      if (place < 0) this.now = calendar.wait(this.now + state.wake);
      else if (!this.place(state.take(place), state.start, state.cost)) return true;
    }
    return false;
  }

  /** What is generated. */
  generated(): Generated {
    const { compiled, order, start, end, changes, lateness, costs, checkpoints, step } = this;
    let finish = order.length > 0 ? -FAR : compiled.start;
    for (const i of order) finish = Math.max(finish, (end[i] as number) + (compiled.runs[i] as number));
    const unplaced = start.length - order.length;
    const schedule = { order, start, end, finish, changes, lateness, unplaced, hand: null };
    return { schedule, costs, checkpoints, step };
  }

  /** All that another generation did from this place on. */
  private takeRest(like: Generated, mark: number): void {
    const { changes, lateness } = checkpointAt(like, mark);
    this.checkpoints.push(...checkpointsFrom(like, mark, this.changes, this.lateness));
    for (let n = mark; n < like.schedule.order.length; n++) {
      this.order.push(like.schedule.order[n] as number);
      this.costs.push(like.costs[n] as number);
    }
    this.changes += like.schedule.changes - changes;
    this.lateness += like.schedule.lateness - lateness;
  }

  /** Place operation `i`; false where the hours are too few for it. */
  private place(i: number, start: number, cost: number): boolean {
    const { compiled, calendar } = this;
    const minutes = compiled.minutes[i] as number;
    let end = start + minutes;
    if (end > calendar.close) end = calendar.interruptedEnd(start, minutes);
    this.now = end;
    if (end === FAR) return false;
    this.order.push(i);
    this.costs.push(cost);
    this.start[i] = start;
    this.end[i] = end;
    if (this.state.place(i, end)) this.changes += 1;
    this.lateness += Math.max(0, start - (this.latest[i] as number));
    return true;
  }
}
