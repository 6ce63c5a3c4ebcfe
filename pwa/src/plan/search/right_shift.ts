/**
 * Right shift, the backward half of justification: operations start later where that is better.
 *
 * An operation that starts a maximal lag need not be done long before the operation at the lag's other end can start.
 * Justification in general: Valls, Ballestín and Quintanilla 2005 (from memory).
 */
import { type CompiledProblem, endAt, type MaxLag } from "../model/compiled_problem.ts";
import { FAR, latestStart } from "../model/hours.ts";
import { compareRanks, overrunOf, rank, type Schedule, setupsBefore } from "../model/schedule.ts";

/** The schedule with less overrun and the same order, if that is possible and makes nothing else worse. */
export function rightShifted(compiled: CompiledProblem, schedule: Schedule): Schedule {
  if (compiled.maxLags.length === 0 || schedule.unplaced > 0 || overrunOf(compiled, schedule) === 0) return schedule;
  const { order, finish, changes, lateness } = schedule;
  const place = new Array<number>(order.length).fill(0);
  for (const [n, i] of order.entries()) place[i] = n;
  const placeOf = (i: number) => place[i] as number;
  let found = schedule;
  for (const lag of exceeded(compiled, schedule).sort((a, b) => placeOf(b.before) - placeOf(a.before))) {
    const start = latestStartsInOrder(compiled, found, placeOf(lag.before), placeOf(lag.after));
    const end = endsWith(compiled, found, start);
    const later = { order, start, end, finish, changes, lateness, unplaced: 0, hand: null };
    if (compareRanks(rank(compiled, later), rank(compiled, found)) <= 0) found = later;
  }
  return found;
}

/** The maximal lags that the schedule exceeds. */
export function exceeded(compiled: CompiledProblem, { start, end }: Schedule): MaxLag[] {
  return compiled.maxLags.filter((x) => (start[x.after] as number) > (end[x.before] as number) + x.most);
}

/** By operation, its attended end with these starts in place of the schedule's. */
function endsWith(compiled: CompiledProblem, schedule: Schedule, starts: readonly number[]): number[] {
  return starts.map((start, i) =>
    start === schedule.start[i] ? (schedule.end[i] as number) : endAt(compiled, i, start),
  );
}

/**
 * By operation, its start; those at places `first` … `behind` - 1 of the order are as late as the rest allows.
 *
 * Neither the finish nor the tardiness of a piece gets worse.
 */
function latestStartsInOrder(compiled: CompiledProblem, schedule: Schedule, first: number, behind: number): number[] {
  const { order } = schedule;
  const setting = setupsBefore(compiled, order);
  const starts = schedule.start.slice();
  const due = latestEnds(compiled, schedule);
  const stationFree = compiled.standing.map(() => FAR);
  let handsFree = FAR;
  for (let n = order.length - 1; n >= first; n--) {
    const i = order[n] as number;
    const station = compiled.station[i] as number;
    const runs = compiled.runs[i] as number;
    if (n < behind) {
      let by = Math.min((due[i] as number) - runs, handsFree);
      if (station >= 0) by = Math.min(by, (stationFree[station] as number) - runs);
      for (const [j, lag] of compiled.successors[i] as CompiledProblem["successors"][number])
        by = Math.min(by, (starts[j] as number) - lag);
      starts[i] = Math.max(starts[i] as number, latestWithSetup(compiled, i, setting[i] as number, by));
    }
    const takenUp = (starts[i] as number) - (setting[i] as number);
    handsFree = takenUp;
    if (station >= 0) stationFree[station] = takenUp;
  }
  return starts;
}

/** The latest start with `setting` minutes of setting up directly before it, done by `by`. */
function latestWithSetup(
  { hours, minutes, breakable }: CompiledProblem,
  i: number,
  setting: number,
  by: number,
): number {
  const work = minutes[i] as number;
  if (!breakable[i]) return setting + latestStart(hours, by, setting + work, false);
  return setting + latestStart(hours, latestStart(hours, by, work, true) + 1, setting + 1, false);
}

/** By operation, the latest end, its run included, that makes neither the finish nor its piece's tardiness worse. */
function latestEnds(compiled: CompiledProblem, schedule: Schedule): number[] {
  const { end, finish } = schedule;
  const latest = compiled.ids.map(() => finish);
  for (const piece of compiled.pieces) {
    let done = -FAR;
    for (const i of piece.ops) done = Math.max(done, (end[i] as number) + (compiled.runs[i] as number));
    for (const i of piece.ops) latest[i] = Math.min(finish, Math.max(done, piece.due));
  }
  return latest;
}
