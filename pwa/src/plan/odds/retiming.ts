/**
 * Re-timing: a plan's order with other durations, for one pair of hands.
 *
 * The order stays, and so does what is begun before closing time: hands judge by the planned minutes whether it still
 * fits, and finish what they began.
 */
import type { Problem } from "../../wire.gen.ts";
import { type CompiledProblem, compileProblem } from "../model/compiled_problem.ts";
import type { Schedule } from "../model/schedule.ts";
import { generateSerial } from "../search/serial_generation.ts";

/**
 * compiled: the problem as planned. retime: from an order and the minutes of each operation, by number, to the schedule;
 * null where the hours end before.
 */
export type Retiming = {
  readonly compiled: CompiledProblem;
  readonly retime: (order: readonly number[], minutes: readonly number[]) => Schedule | null;
};

/** How orders of the problem are timed. */
export function retimingOf(problem: Problem): Retiming {
  const compiled = compileProblem(problem);
  return { compiled, retime: (order, minutes) => generateSerial({ ...compiled, minutes }, order) };
}
