/** Maximal lags, such as recoat windows, during parallel generation: what must wait, and what would be too late. */
import { type CompiledProblem, endAt, type MaxLag } from "../model/compiled_problem.ts";
import { earliestStart, FAR, type Hours } from "../model/hours.ts";

/** Priority value lost for each minute past a maximal lag: more than any other reason to choose an operation. */
const PENALTY = 64;

const MOST_PENALTY = 2 ** 32;

/** In how many later windows a start is looked for that keeps the lag: enough for the weekends of a long holiday. */
const TRIES = 12;

/** The maximal lags of one schedule that is being generated. */
export class OpenLags {
  private readonly compiled: CompiledProblem;
  private readonly hours: Hours;
  /** Operations with a latest start, from latest starts given and from lags that have begun, in this order. */
  private readonly dueOps: number[] = [];
  /** By operation, this latest start; FAR without one. */
  private readonly dueBy: number[];
  /** By operation, the lags that begin when it ends. */
  private readonly starts: MaxLag[][];
  /** Priority value that the operation judged last would lose. */
  penalty = 0;

  /** due: to go on from what was due at some moment, as `due` says it. */
  constructor(compiled: CompiledProblem, hours: Hours, due: readonly number[] | undefined) {
    this.compiled = compiled;
    this.hours = hours;
    this.dueBy = compiled.minutes.map(() => FAR);
    if (due) for (let n = 0; n < due.length; n += 2) this.putDue(due[n] as number, due[n + 1] as number);
    else for (const [i, by] of compiled.by) this.putDue(i, by);
    this.starts = compiled.minutes.map(() => []);
    for (const lag of compiled.maxLags) (this.starts[lag.before] as MaxLag[]).push(lag);
  }

  /**
   * Minutes, from now on, to hold operation `i` back rather than to start it at `start`; 0 if it need not be. Its
   * `penalty` is then set.
   *
   * It is held back for an operation that is about to be ready and would be too late after it, and until its own
   * successors can keep their lags. idle: minutes from now to its setting up. ready, waits: by operation, its earliest
   * start so far, and how many of its predecessors are not placed.
   */
  judge(
    i: number,
    start: number,
    now: number,
    idle: number,
    ready: readonly number[],
    waits: readonly number[],
  ): number {
    const end = endAt(this.compiled, i, start);
    let exceeded = 0;
    for (const k of this.dueOps) {
      if (k === i) continue;
      const due = this.dueBy[k] as number;
      const from = ready[k] as number;
      let over = this.inHours(k, Math.max(end, from)) - due;
      if (over <= 0) continue;
      over -= Math.max(0, this.inHours(k, Math.max(now, from)) - due); // late already, whatever is chosen now
      if (over > 0 && waits[k] === 0 && from > now) return from - now;
      exceeded += Math.max(0, over);
    }
    const over = this.exceededAfter(i, end);
    if (over > 0) {
      const delay = this.delay(i, start);
      if (delay > 0 && start + delay <= (this.dueBy[i] as number)) return idle + delay;
      exceeded += over;
    }
    this.penalty = Math.min(PENALTY * exceeded, MOST_PENALTY);
    return 0;
  }

  /** Note that operation `i` is placed and ends at `end`. */
  place(i: number, end: number): void {
    const place = this.dueOps.indexOf(i);
    if (place >= 0) {
      this.dueOps.splice(place, 1);
      this.dueBy[i] = FAR;
    }
    for (const lag of this.starts[i] as MaxLag[]) this.putDue(lag.after, Math.min(end + lag.most, this.dueOf(lag)));
  }

  /** What is due: operation after operation, each with its latest start behind it. */
  due(): number[] {
    return this.dueOps.flatMap((i) => [i, this.dueBy[i] as number]);
  }

  private putDue(i: number, by: number): void {
    if (!this.dueOps.includes(i)) this.dueOps.push(i);
    this.dueBy[i] = by;
  }

  private dueOf(lag: MaxLag): number {
    return this.dueBy[lag.after] as number;
  }

  /** The earliest start of operation `i`, not before `at`, by the hours alone. */
  private inHours(i: number, at: number): number {
    const { minutes, breakable } = this.compiled;
    return earliestStart(this.hours, at, minutes[i] as number, breakable[i] as boolean);
  }

  /** Minutes by which the lags after operation `i` are exceeded at least, if it ends at `end`. */
  private exceededAfter(i: number, end: number): number {
    let exceeded = 0;
    for (const lag of this.starts[i] as MaxLag[])
      exceeded += Math.max(0, this.inHours(lag.after, end + lag.least) - end - lag.most);
    return exceeded;
  }

  /** Minutes to delay operation `i` so that the lags after it can be kept; 0 if none of TRIES windows helps. */
  private delay(i: number, start: number): number {
    let at = start;
    for (let tries = 0; tries < TRIES && at < FAR; tries++) {
      const over = this.exceededAfter(i, endAt(this.compiled, i, at));
      if (over === 0) return at - start;
      at = this.inHours(i, at + Math.min(over, FAR));
    }
    return 0;
  }
}
