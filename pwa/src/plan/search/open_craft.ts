/** Craft during parallel generation: what a choice would spoil, in minutes that it costs. */
import type { CompiledCraft, WantedLag } from "../model/compiled_craft.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { bisectLeft, FAR, type Hours } from "../model/hours.ts";
import { openingAfter, untornStart } from "./untorn.ts";

const NO_LAGS: readonly WantedLag[] = [];
const NOTHING: readonly number[] = [];

/** Craft in one schedule that is being generated. */
export class OpenCraft {
  private readonly compiled: CompiledProblem;
  private readonly craft: CompiledCraft;
  private readonly hours: Hours;
  /** Value lost for each minute that a fault costs. */
  private readonly weight: number;
  /** Until when dust would spoil something. */
  wetUntil: number;
  /** Operations with a latest start that is wanted, from lags that have begun. */
  private readonly dueOps: number[] = [];
  /** The same places: these starts. */
  private readonly dueBy: number[] = [];
  /** The least of these that is to come; FAR without any. */
  soon = FAR;
  /** Priority value that the operation judged last would lose. */
  penalty = 0;

  constructor(compiled: CompiledProblem, craft: CompiledCraft, hours: Hours, weight: number) {
    this.compiled = compiled;
    this.craft = craft;
    this.hours = hours;
    this.weight = weight;
    this.wetUntil = craft.wetUntil;
  }

  /** Whether anything is wanted by some moment. */
  isAnyDue(): boolean {
    return this.dueOps.length > 0;
  }

  /**
   * When operation `i` should start, not before `start`. Its `penalty` is then set.
   *
   * It should start later where that leaves no piece that is too short. It loses value for dust beside something wet, for
   * fiddly work in the last minutes before closing, for what would begin later than wanted after it, and for a wait
   * after it that cannot be as short as is wanted. setting: minutes of setting up. close: when the window ends. ready:
   * by operation, its earliest start so far.
   */
  judge(i: number, start: number, setting: number, close: number, ready: readonly number[]): number {
    const { craft } = this;
    const end = start + (this.compiled.minutes[i] as number);
    let begin = start;
    this.penalty = 0;
    if (end > close) {
      begin = untornStart(this.compiled, craft, this.hours, i, start, setting);
      if (begin >= close) return begin;
    }
    let cost = craft.touchy[i] ? this.nearClosing(i, end) : 0;
    if (begin < this.wetUntil && craft.isDusty[i]) cost += craft.costs.dust;
    if (end > this.soon) cost += this.lateAfter(i, begin, end, ready);
    this.penalty = this.weight * cost;
    return begin;
  }

  /** Note that operation `i` is placed and ends at `end`, if it is marked, or that is after `soon`. */
  note(i: number, end: number): void {
    const { craft } = this;
    const wet = craft.wet.get(i);
    if (wet !== undefined) this.wetUntil = Math.max(this.wetUntil, end + wet);
    this.leaveOut(i, end);
    for (const lag of craft.starts.get(i) ?? NO_LAGS) this.putDue(lag.after, end + lag.most);
    this.soon = this.least();
  }

  /** What is due: operation after operation by their numbers, each with the start that is wanted behind it. */
  due(): readonly number[] {
    if (this.dueOps.length === 0) return NOTHING;
    const places = this.dueOps.map((_, place) => place);
    places.sort((a, b) => (this.dueOps[a] as number) - (this.dueOps[b] as number));
    return places.flatMap((place) => [this.dueOps[place] as number, this.dueBy[place] as number]);
  }

  /** Before anything is noted: go on from what was wet and due at some moment, the latter as `due` says it. */
  goTo(wetUntil: number, due: readonly number[]): void {
    this.wetUntil = wetUntil;
    for (let n = 0; n < due.length; n += 2) {
      this.dueOps.push(due[n] as number);
      this.dueBy.push(due[n + 1] as number);
    }
    this.soon = this.least();
  }

  /** What it costs that others, which could still begin in time, begin too late after operation `i`. */
  private lateAfter(i: number, start: number, end: number, ready: readonly number[]): number {
    let late = 0;
    for (let place = 0; place < this.dueOps.length; place++) {
      const k = this.dueOps[place] as number;
      const due = this.dueBy[place] as number;
      if (k !== i && due < end && start <= due && (ready[k] as number) <= due) late += 1;
    }
    return this.craft.costs.late_act * late;
  }

  /** What it costs that closing time comes soon after operation `i`. */
  private nearClosing(i: number, end: number): number {
    const { closings, costs, isFiddly, starts } = this.craft;
    const isHurried = isFiddly[i] as boolean;
    const lags = starts.get(i) ?? NO_LAGS;
    if (!isHurried && lags.length === 0) return 0;
    const close = closings[bisectLeft(closings, end)];
    if (close === undefined) return 0; // it outlasts all hours, so that it will not be placed
    let cost = isHurried && close - end < costs.last_minutes ? costs.fiddly : 0;
    for (const lag of lags) {
      const isAfterClosing = end + lag.least + (this.compiled.needed[lag.after] as number) > close;
      if (isAfterClosing && end + lag.most < openingAfter(this.hours, close)) cost += costs.late_act;
    }
    return cost;
  }

  /** What is begun, and what cannot begin in time any more, is not due. */
  private leaveOut(i: number, end: number): void {
    let kept = 0;
    for (let place = 0; place < this.dueOps.length; place++) {
      const k = this.dueOps[place] as number;
      const due = this.dueBy[place] as number;
      if (k === i || due < end) continue;
      this.dueOps[kept] = k;
      this.dueBy[kept] = due;
      kept += 1;
    }
    while (this.dueOps.length > kept) {
      this.dueOps.pop();
      this.dueBy.pop();
    }
  }

  private putDue(i: number, by: number): void {
    const known = this.dueOps.indexOf(i);
    const place = known < 0 ? this.dueOps.length : known;
    this.dueOps[place] = i;
    this.dueBy[place] = by;
  }

  private least(): number {
    let least = FAR;
    for (const by of this.dueBy) if (by < least) least = by;
    return least;
  }
}
