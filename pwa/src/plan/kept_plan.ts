/** The plan that stands, as the planner goes on from it. */
import { MINUTE_MS } from "../durations.ts";
import { floorDiv } from "../recipe/whole_numbers.ts";
import type { Plan, PresentedPlan } from "../wire.gen.ts";
import { keyOf } from "./tasks/task.ts";

/**
 * The plan that was presented, in minutes from `now`, which may be later than it was made: server time in ms.
 *
 * Both in whole minutes. All is there that an earlier plan is asked for: what it was worth then is not.
 */
export function keptPlan(presented: PresentedPlan, now: number): Plan {
  const minute = (moment: number) => floorDiv(moment - now, MINUTE_MS);
  const placed = presented.steps.map((step) => ({
    op: keyOf(step.build, step.operation, step.act),
    setup: minute(step.setup_at),
    start: minute(step.start),
    end: minute(step.end),
    free: minute(step.free),
    hand: null,
  }));
  const { changes } = presented;
  return { placed, finish: minute(presented.finish), changes, overrun: 0, late: 0, bound: 0, craft: 0, day: 0 };
}
