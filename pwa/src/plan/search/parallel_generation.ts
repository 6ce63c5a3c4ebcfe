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
  const generation = new ParallelGeneration(compiled, hours, priorities, latest, difference);
  return generation.isWithin(mostLate) ? generation.generated() : null;
}

/** A schedule that is being generated: the moment, what is placed until then, and what may come next. */
class ParallelGeneration {
  private readonly compiled: CompiledProblem;
  private readonly latest: readonly number[];
  private readonly difference: Difference | null;
  private readonly calendar: WindowCursor;
  private readonly state: Eligible;
  private readonly step: number;
  private now: number;
  private changes: number;
  private lateness: number;
  private readonly order: number[];
  private readonly costs: number[];
  private readonly start: number[];
  private readonly end: number[];
  private readonly checkpoints: Checkpoint[];
  /** The place of the next checkpoint. */
  private mark: number;

  /** With a difference, what is before it is taken over, up to the last checkpoint. */
  constructor(
    compiled: CompiledProblem,
    hours: Hours,
    { values, setupWeight, mostIdle, craft }: Priorities,
    latest: readonly number[],
    difference: Difference | null,
  ) {
    const step = stepFor(compiled.minutes.length);
    const isResumed = difference !== null && difference.first >= step; // other weights see another first state
    const like = difference?.of;
    const from = isResumed ? checkpointAt(difference.of, difference.first) : undefined;
    const place = from?.place ?? 0;
    this.compiled = compiled;
    this.latest = latest;
    this.difference = difference;
    this.calendar = new WindowCursor(hours);
    if (from) this.calendar.goTo(from.state.window);
    this.state = new Eligible(compiled, hours, values, setupWeight, mostIdle, craft, from?.state);
    this.step = step;
    this.now = from?.state.now ?? this.calendar.open;
    this.changes = from?.changes ?? 0;
    this.lateness = from?.lateness ?? 0;
    this.order = like?.schedule.order.slice(0, place) ?? [];
    this.costs = like?.costs.slice(0, place) ?? [];
    this.start = like?.schedule.start.slice() ?? compiled.minutes.map(() => 0);
    this.end = like?.schedule.end.slice() ?? compiled.minutes.map(() => 0);
    this.checkpoints = (from && like?.checkpoints.slice(0, place / step + 1)) ?? [];
    this.mark = this.checkpoints.length * step;
  }

  /** Place what can be placed; false as soon as the lateness exceeds `mostLate`. */
  isWithin(mostLate: number): boolean {
    const { state, calendar, order } = this;
    while (this.lateness <= mostLate) {
      if (state.eligible.length === 0 || this.now >= FAR) return true;
      if (order.length === this.mark && this.isRestKnown()) return this.lateness <= mostLate;
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

  /** Keep a checkpoint; or where the difference is over, take over all that is behind it, and give true. */
  private isRestKnown(): boolean {
    const { difference, mark, changes, lateness } = this;
    const state = this.state.at(this.now, this.calendar.window);
    if (difference && isOver(difference, mark, state)) {
      this.takeRest(difference.of);
      return true;
    }
    this.checkpoints.push({ place: mark, changes, lateness, state });
    this.mark += this.step;
    return false;
  }

  private takeRest(like: Generated): void {
    const { mark, order, costs } = this;
    const { changes, lateness } = checkpointAt(like, mark);
    this.checkpoints.push(...checkpointsFrom(like, mark, this.changes, this.lateness));
    for (let n = mark; n < like.schedule.order.length; n++) {
      order.push(like.schedule.order[n] as number);
      costs.push(like.costs[n] as number);
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
