/** The plan that stands, as the planner goes on from it. Twin of plan/kept_plan.py, where the reasons stand. */
import { MINUTE_MS } from "../durations.ts";
import { floorDiv } from "../recipe/whole_numbers.ts";
import type { Plan, PresentedPlan } from "../wire.gen.ts";
import { keyOf } from "./tasks/task.ts";

/**
 * The plan that stands, in minutes from `now`, which may be later than it was made: server time in ms.
 *
 * Both in whole minutes. An earlier plan is asked for its starts and its finish, and nothing else is in it.
 */
export function keptPlan({ stands, steps, finish }: PresentedPlan, now: number): Plan {
  const minute = (moment: number) => floorDiv(moment - now, MINUTE_MS);
  const own = () => steps.map((step) => [keyOf(step.build, step.operation, step.act), step.start] as const);
  const placed = (stands ? Object.entries(stands.starts) : own()).map(([op, start]) => {
    const at = minute(start);
    return { op, setup: at, start: at, end: at, free: at, hand: null };
  });
  return {
    placed,
    finish: minute(stands ? stands.finish : finish),
    changes: 0,
    overrun: 0,
    late: 0,
    bound: 0,
    craft: 0,
    day: 0,
  };
}
