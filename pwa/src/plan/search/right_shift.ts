/**
 * Right shift, the backward half of justification: operations start later where that is better.
 *
 * An operation that starts a maximal lag need not be done long before the operation at the lag's other end can start.
 * Justification in general: Valls, Ballestín and Quintanilla 2005 (from memory).
 */
import { type CompiledProblem, endAt, type MaxLag } from "../model/compiled_problem.ts";
import { FAR, type Hours, latestStart } from "../model/hours.ts";
import { compareRanks, overrunOf, rank, type Schedule, setupsBefore } from "../model/schedule.ts";
import { NOBODY } from "../model/which_hands.ts";

const NO_LIMITS: ReadonlyMap<number, number> = new Map();

/** The schedule with less overrun and the same order, if that is possible and makes nothing else worse. */
export function rightShifted(compiled: CompiledProblem, schedule: Schedule): Schedule {
  if (compiled.maxLags.length === 0 || schedule.unplaced > 0 || overrunOf(compiled, schedule) === 0) return schedule;
  const { order, finish, changes, lateness } = schedule;
  const place = new Array<number>(order.length).fill(0);
  for (const [n, i] of order.entries()) place[i] = n;
  const placeOf = (i: number) => place[i] as number;
  const onePair = order.map(() => 0);
  let found = schedule;
  for (const lag of exceeded(compiled, schedule).sort((a, b) => placeOf(b.before) - placeOf(a.before))) {
    const start = latestStartsInOrder(compiled, found, NO_LIMITS, placeOf(lag.before), placeOf(lag.after), onePair);
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
 * Neither the finish nor the tardiness of a piece gets worse. startBy: operation to a start it must not pass. hand: by
 * operation, which pair of hands does it, as `whichHands` says.
 */
export function latestStartsInOrder(
  compiled: CompiledProblem,
  schedule: Schedule,
  startBy: ReadonlyMap<number, number>,
  first: number,
  behind: number,
  hand: readonly number[],
): number[] {
  const { order } = schedule;
  const setting = setupsBefore(compiled, order);
  const starts = schedule.start.slice();
  const due = latestEnds(compiled, schedule);
  const hands = new Array<number>(hand.reduce((most, pair) => Math.max(most, pair), 0) + 1).fill(FAR);
  const stationFree = compiled.standing.map(() => FAR);
  for (let n = order.length - 1; n >= first; n--) {
    const i = order[n] as number;
    const station = compiled.station[i] as number;
    const pair = hand[i] as number;
    if (n < behind) {
      let by = (due[i] as number) - (compiled.runs[i] as number);
      for (const [j, lag] of compiled.successors[i] as CompiledProblem["successors"][number])
        by = Math.min(by, (starts[j] as number) - lag);
      if (pair !== NOBODY) by = Math.min(by, hands[pair] as number);
      if (station >= 0) by = Math.min(by, (stationFree[station] as number) - (compiled.runs[i] as number));
      const limit = startBy.get(i) ?? FAR;
      const latest = latestWithSetup(compiled, compiled.hours, i, setting[i] as number, by, limit);
      starts[i] = Math.max(starts[i] as number, latest);
    }
    const takenUp = (starts[i] as number) - (setting[i] as number);
    if (pair !== NOBODY) hands[pair] = takenUp;
    if (station >= 0) stationFree[station] = takenUp;
  }
  return starts;
}

/** The latest start with `setting` minutes of setting up directly before it, done by `by`, started by `startBy`. */
function latestWithSetup(
  compiled: CompiledProblem,
  hours: Hours,
  i: number,
  setting: number,
  by: number,
  startBy: number,
): number {
  const minutes = compiled.minutes[i] as number;
  if (!compiled.breakable[i]) {
    return setting + latestStart(hours, Math.min(by, startBy + minutes), setting + minutes, false);
  }
  const start = Math.min(latestStart(hours, by, minutes, true), startBy);
  return setting + latestStart(hours, start + 1, setting + 1, false);
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
