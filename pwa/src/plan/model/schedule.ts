/** A schedule of a compiled problem: when each operation is done, what the schedule is worth, and the plan it makes. */
import type { Placed, Plan } from "../../wire.gen.ts";
import { type CompiledProblem, settingMinutes } from "./compiled_problem.ts";
import { craftFaults, type Fault } from "./craft_faults.ts";
import { bisectLeft } from "./hours.ts";
import type { Objective } from "./problem.ts";

/** What schedules are compared by, less is better: operations not placed, then the objective. */
export type Rank = readonly [unplaced: number, ...Objective];

/**
 * Operations by number. order: as they are taken up. start, end: by operation, of the attended work, in minutes.
 *
 * finish: end of the last operation, its run included. changes: of setups. lateness: minutes past the latest starts that
 * the generation was given, summed; it guides the search. unplaced: how many operations could not be placed, for want of
 * clamps or of hours. hand: by operation, whose it is; null where all hands are alike.
 */
export type Schedule = {
  readonly order: readonly number[];
  readonly start: readonly number[];
  readonly end: readonly number[];
  readonly finish: number;
  readonly changes: number;
  readonly lateness: number;
  readonly unplaced: number;
  readonly hand: readonly number[] | null;
};

/** The faults of craft in a schedule in which every operation is placed; none where craft does not count. */
export function faultsIn(compiled: CompiledProblem, { order, start, end }: Schedule): readonly Fault[] {
  return compiled.craft ? craftFaults(compiled, compiled.craft, order, start, end) : [];
}

/** What a schedule in which every operation is placed is judged by. faults: those of craft, where they are known. */
export function objective(
  compiled: CompiledProblem,
  schedule: Schedule,
  faults: readonly Fault[] = faultsIn(compiled, schedule),
): Objective {
  const { end, finish } = schedule;
  let late = 0;
  for (const piece of compiled.pieces) {
    let done = Number.NEGATIVE_INFINITY;
    for (const i of piece.ops) done = Math.max(done, (end[i] as number) + (compiled.runs[i] as number));
    late += piece.weight * Math.max(0, done - piece.due);
  }
  let craft = 0;
  for (const [, cost] of faults) craft += cost;
  const day = bisectLeft(compiled.mornings, finish);
  return [overrunOf(compiled, schedule), late, day, finish + craft, schedule.changes];
}

/** What a plan is judged by. */
export function objectiveOf({ overrun, late, day, finish, craft, changes }: Plan): Objective {
  return [overrun, late, day, finish + craft, changes];
}

/** Minutes by which maximal lags and latest starts are exceeded. */
export function overrunOf(compiled: CompiledProblem, schedule: Schedule): number {
  const { start, end } = schedule;
  let overrun = 0;
  for (const { before, after, most } of compiled.maxLags) {
    overrun += Math.max(0, (start[after] as number) - (end[before] as number) - most);
  }
  for (const [i, by] of compiled.by) overrun += Math.max(0, (start[i] as number) - by);
  return overrun;
}

/**
 * What the schedule is compared by; overrun and tardiness count only once every operation is placed.
 *
 * faults: those of craft, where they are known.
 */
export function rank(compiled: CompiledProblem, schedule: Schedule, faults?: readonly Fault[]): Rank {
  if (schedule.unplaced) return [schedule.unplaced, 0, 0, 0, schedule.finish, schedule.changes];
  return [0, ...objective(compiled, schedule, faults)];
}

/** Below 0 where the first is the better rank or objective, above 0 where it is the worse one; 0 where they are equal. */
export function compareRanks(one: readonly number[], other: readonly number[]): number {
  for (let n = 0; n < one.length; n++) {
    const by = (one[n] as number) - (other[n] as number);
    if (by) return by;
  }
  return 0;
}

/** By operation, the minutes of setting up before it in this order. */
export function setupsBefore(compiled: CompiledProblem, order: readonly number[]): number[] {
  const standing = [...compiled.standing];
  const found = new Array<number>(order.length).fill(0);
  for (const i of order) {
    const setup = compiled.setup[i] as number;
    if (setup < 0) continue;
    found[i] = settingMinutes(compiled, i, standing);
    standing[compiled.station[i] as number] = setup;
  }
  return found;
}

/** The schedule as a plan. bound: a lower bound on the finish of any plan. */
export function planOf(compiled: CompiledProblem, schedule: Schedule, bound: number): Plan {
  const setting = setupsBefore(compiled, schedule.order);
  const placed = schedule.order.map((i): Placed => {
    const start = schedule.start[i] as number;
    const end = schedule.end[i] as number;
    const free = end + (compiled.runs[i] as number);
    const hand = schedule.hand === null ? null : (schedule.hand[i] as number);
    return { op: compiled.ids[i] as string, setup: start - (setting[i] as number), start, end, free, hand };
  });
  const [overrun, late, day, cost, changes] = objective(compiled, schedule);
  const { finish } = schedule;
  return { placed, finish, changes, overrun, late, bound: Math.min(bound, finish), craft: cost - finish, day };
}

/** The plan as a schedule. Throws RangeError where the plan names an operation that the problem does not have. */
export function scheduleOf(compiled: CompiledProblem, plan: Plan): Schedule {
  const order = orderOf(compiled, plan);
  const start = compiled.ids.map(() => 0);
  const end = compiled.ids.map(() => 0);
  const hand = compiled.ids.map(() => 0);
  for (const [n, i] of order.entries()) {
    const placed = plan.placed[n] as Placed;
    start[i] = placed.start;
    end[i] = placed.end;
    hand[i] = placed.hand ?? 0;
  }
  const has = plan.placed.some((placed) => placed.hand !== null);
  const { finish, changes } = plan;
  return { order, start, end, finish, changes, lateness: 0, unplaced: 0, hand: has ? hand : null };
}

/** The plan's operations by number, as they are taken up. Throws RangeError for one that the problem does not have. */
export function orderOf(compiled: CompiledProblem, plan: Plan): number[] {
  const numbers = new Map(compiled.ids.map((id, n) => [id, n]));
  return plan.placed.map((placed) => {
    const number = numbers.get(placed.op);
    if (number === undefined) throw new RangeError(`the problem has no operation ${placed.op}`);
    return number;
  });
}
