/**
 * The serial schedule generation scheme for one pair of hands: each operation of a given order as early as it can be.
 *
 * One pair of hands keeps the order strictly: no operation is put into a gap before an earlier one of the order.
 */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import { type CompiledProblem, endAt, settingMinutes } from "../model/compiled_problem.ts";
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
  const { start, end, finish, changes } = generation;
  return { order: order.slice(), start, end, finish, changes, lateness: 0, unplaced: 0, hand: null };
}

/** A schedule that is being generated; state of hands, stations and clamps after the operations placed so far. */
class SerialGeneration {
  private readonly compiled: CompiledProblem;
  /** By operation, its earliest start so far. */
  private readonly ready: number[];
  /** By operation, how many predecessors are not placed. */
  private readonly waits: number[];
  /** By station, its setup. */
  private readonly standing: number[];
  /** By station, until when it is busy. */
  private readonly busy: number[];
  /** Clamps that are free, by number of kind. */
  private readonly free: number[];
  readonly start: number[];
  readonly end: number[];
  /** When hands are free. */
  private now: number;
  finish: number;
  changes = 0;

  constructor(compiled: CompiledProblem, count: number, notBefore: ReadonlyMap<number, number>) {
    this.compiled = compiled;
    this.ready = compiled.ready.slice();
    for (const [i, at] of notBefore) this.ready[i] = Math.max(this.ready[i] as number, at);
    this.waits = compiled.waits.slice();
    this.standing = compiled.standing.slice();
    this.busy = compiled.standing.map(() => compiled.start);
    this.free = compiled.free.slice();
    this.start = new Array<number>(count).fill(0);
    this.end = new Array<number>(count).fill(0);
    this.now = compiled.start;
    this.finish = compiled.start;
  }

  /** Place the operation as early as it can be; false if it cannot be placed next. */
  place(i: number): boolean {
    const { compiled } = this;
    const takes = compiled.takes[i] as Counts;
    if (this.waits[i] !== 0 || !suffices(this.free, takes)) return false;
    const at = compiled.station[i] as number;
    if (at >= 0) this.now = Math.max(this.now, this.busy[at] as number);
    const setting = settingMinutes(compiled, i, this.standing);
    const start = this.earliest(i, setting);
    const end = start < FAR ? endAt(compiled, i, start) : FAR;
    if (end >= FAR) return false;
    this.start[i] = start;
    this.end[i] = end;
    this.now = end;
    take(this.free, takes);
    giveBack(this.free, compiled.gives[i] as Counts);
    const free = end + (compiled.runs[i] as number);
    this.finish = Math.max(this.finish, free);
    if (at >= 0) this.useStation(at, compiled.setup[i] as number, free);
    this.release(i, end);
    return true;
  }

  /** When the operation can start at the earliest, with its setting up directly before; FAR where it fits nowhere. */
  private earliest(i: number, setting: number): number {
    const { hours, needed, craft, breakable } = this.compiled;
    const begin = Math.max(this.now, (this.ready[i] as number) - setting);
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

  /** Those that wait for operation `i`, which ends at `end`, wait for one less. */
  private release(i: number, end: number): void {
    const { ready, waits } = this;
    for (const [j, lag] of this.compiled.successors[i] as CompiledProblem["successors"][number]) {
      ready[j] = Math.max(ready[j] as number, end + lag);
      waits[j] = (waits[j] as number) - 1;
    }
  }
}
