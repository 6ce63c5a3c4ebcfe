/** The first schedule: one pass of parallel generation, the least latest start first (the LST priority rule). */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { FAR } from "../model/hours.ts";
import type { Schedule } from "../model/schedule.ts";
import { earliestStarts, lastEnd, latestStarts } from "./bound.ts";
import { deadlockFreeOrder } from "./deadlock.ts";
import { CRAFT_WEIGHT, generateParallel, type Priorities } from "./parallel_generation.ts";
import { rightShifted } from "./right_shift.ts";
import { generateSerial } from "./serial_generation.ts";

/**
 * A schedule of all operations if one is found, else of as many as parallel generation places.
 *
 * values: priority value by operation. Where clamps deadlock, the operations are taken in a deadlock-free order.
 */
export function initialSchedule(compiled: CompiledProblem, values: readonly number[]): Schedule {
  const schedule = parallelWithLimits(compiled, prioritiesOf(values, 0, 0));
  if (schedule.unplaced === 0) return schedule;
  const order = deadlockFreeOrder(compiled);
  return (order.length === values.length ? generateSerial(compiled, order) : null) ?? schedule;
}

/** Parallel generation, however late it finishes, then a right shift of what starts an exceeded maximal lag. */
export function parallelWithLimits(compiled: CompiledProblem, priorities: Priorities): Schedule {
  const never = new Array<number>(priorities.values.length).fill(FAR);
  const schedule = generateParallel(compiled, compiled.hours, priorities, never);
  return rightShifted(compiled, schedule as Schedule);
}

/** Priority values by operation: its latest start for the earliest finish that precedence allows, negated. */
export function latestStartValues(compiled: CompiledProblem): number[] {
  const finish = lastEnd(compiled, earliestStarts(compiled));
  return soonestFirst(latestStarts(compiled, new Array<number>(compiled.ids.length).fill(finish)));
}

/** Priority values by operation of which the soonest of these starts makes the greatest. */
export function soonestFirst(starts: readonly number[]): number[] {
  return starts.map((start) => 0 - start); // not -start, which would be -0 for 0 and slow the whole list down
}

/** How to choose by these values, with the usual weight of craft. setupWeight, mostIdle: as in `Priorities`. */
export function prioritiesOf(values: readonly number[], setupWeight: number, mostIdle: number): Priorities {
  return { values, setupWeight, mostIdle, craft: CRAFT_WEIGHT };
}
