/**
 * The serial schedule generation scheme for one pair of hands: each operation of a given order as early as it can be.
 *
 * One pair of hands keeps the order strictly: no operation is put into a gap before an earlier one of the order.
 */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import { type CompiledProblem, endAt, type Lags, settingMinutes } from "../model/compiled_problem.ts";
import { earliestStart, FAR } from "../model/hours.ts";
import type { Schedule } from "../model/schedule.ts";
import { untornStart } from "./untorn.ts";

const NO_DELAYS: ReadonlyMap<number, number> = new Map();

/**
 * The schedule of this order; null where precedence, clamps or hours do not allow the order.
 *
 * notBefore: operation to its earliest start in minutes, for operations that are delayed on purpose.
 */
export function generateSerial(
  compiled: CompiledProblem,
  order: readonly number[],
  notBefore: ReadonlyMap<number, number> = NO_DELAYS,
): Schedule | null {
  const generation = new SerialGeneration(compiled, order.length, notBefore);
  for (const i of order) if (!generation.place(i)) return null;
  return generation.schedule(order);
}

/** What the rest of a generation depends on, before a place of its order, but for the ends of what is placed. */
export type Between = {
  /** When hands are free. */
  readonly now: number;
  /** Clamps that are free, by number of kind. */
  readonly free: readonly number[];
  /** Of setups so far. */
  readonly changes: number;
  /** By station, its setup. */
  readonly standing: readonly number[];
  /** By station, until when it is busy. */
  readonly busy: readonly number[];
};

/** A schedule that is being generated; state of hands, stations and clamps after the operations placed so far. */
export class SerialGeneration {
  readonly compiled: CompiledProblem;
  /** By operation, its earliest start, whatever its predecessors. */
  private readonly ready: readonly number[];
  private start: number[];
  /** By operation, FAR until it is placed. */
  end: number[];
  private now: number;
  private free: number[];
  private changes = 0;
  private standing: number[];
  private busy: number[];

  constructor(compiled: CompiledProblem, count: number, notBefore: ReadonlyMap<number, number>) {
    this.compiled = compiled;
    this.ready = notBefore.size > 0 ? delayed(compiled.ready, notBefore) : compiled.ready;
    this.start = new Array<number>(count).fill(0);
    this.end = new Array<number>(count).fill(FAR);
    this.now = compiled.start;
    this.free = compiled.free.slice();
    this.standing = compiled.standing.slice();
    this.busy = compiled.standing.map(() => compiled.start);
  }

  /** Take up the state before a place of the order of `like`, from which on come the `rest`. */
  goOnFrom({ now, free, changes, standing, busy }: Between, like: Schedule, rest: readonly number[]): void {
    this.now = now;
    this.free = free.slice();
    this.changes = changes;
    this.standing = standing.slice();
    this.busy = busy.slice();
    this.start = like.start.slice();
    this.end = like.end.slice();
    for (const i of rest) this.end[i] = FAR;
  }

  /** Place the rest as in `like`, whose state before it was `was`; `goOnFrom` has set when it starts. */
  endAs(like: Schedule, was: Between, rest: readonly number[]): void {
    for (const i of rest) this.end[i] = like.end[i] as number;
    this.changes += like.changes - was.changes;
  }

  /** The state as it is now. */
  between(): Between {
    const { now, free, changes, standing, busy } = this;
    return { now, free: free.slice(), changes, standing: standing.slice(), busy: busy.slice() };
  }

  /** The schedule, when every operation of the order is placed. */
  schedule(order: readonly number[]): Schedule {
    const { start, end, changes } = this;
    const { runs } = this.compiled;
    let finish = this.compiled.start;
    for (let i = 0; i < end.length; i++) finish = Math.max(finish, (end[i] as number) + (runs[i] as number));
    return { order: order.slice(), start, end, finish, changes, lateness: 0, unplaced: 0, hand: null };
  }

  /** Place the operation as early as it can be; false if it cannot be placed next. */
  place(i: number): boolean {
    const { compiled } = this;
    const takes = compiled.takes[i] as Counts;
    if (!suffices(this.free, takes)) return false;
    const at = compiled.station[i] as number;
    const setting = settingMinutes(compiled, i, this.standing);
    const start = this.earliest(i, at >= 0 ? Math.max(this.now, this.busy[at] as number) : this.now, setting);
    const end = start < FAR ? endAt(compiled, i, start) : FAR;
    if (end >= FAR) return false;
    this.start[i] = start;
    this.end[i] = end;
    this.now = end;
    take(this.free, takes);
    giveBack(this.free, compiled.gives[i] as Counts);
    if (at >= 0) this.useStation(at, compiled.setup[i] as number, end + (compiled.runs[i] as number));
    return true;
  }

  /**
   * When the operation can start at the earliest, with its setting up directly before; FAR where it fits nowhere.
   *
   * now: when hands and its station are free.
   */
  private earliest(i: number, now: number, setting: number): number {
    const { hours, needed, craft, breakable, predecessors } = this.compiled;
    let ready = this.ready[i] as number;
    for (const [before, lag] of predecessors[i] as Lags[number]) {
      ready = Math.max(ready, (this.end[before] as number) + lag);
    }
    const begin = Math.max(now, ready - setting);
    const start = setting + earliestStart(hours, begin, setting + (needed[i] as number), false);
    return craft && breakable[i] && start < FAR ? untornStart(this.compiled, craft, hours, i, start, setting) : start;
  }

  /** The station is busy until `free` and stands in this setup. */
  private useStation(at: number, setup: number, free: number): void {
    this.busy[at] = free;
    if (setup < 0 || this.standing[at] === setup) return;
    this.standing[at] = setup;
    this.changes += 1;
  }
}

/** By operation, its earliest start with these delays. */
function delayed(ready: readonly number[], notBefore: ReadonlyMap<number, number>): number[] {
  const later = ready.slice();
  for (const [i, at] of notBefore) later[i] = Math.max(later[i] as number, at);
  return later;
}
