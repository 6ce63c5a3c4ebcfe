/** What Python may ask of the page's odds: one line a question, its arguments in `given`. */
import { keptPlan } from "../pwa/src/plan/kept_plan.ts";
import { chosen, isClearlyLess } from "../pwa/src/plan/odds/choice.ts";
import { crc32 } from "../pwa/src/plan/odds/crc32.ts";
import { drawnMinutes } from "../pwa/src/plan/odds/draws.ts";
import { atPace } from "../pwa/src/plan/odds/paced.ts";
import { retimingOf } from "../pwa/src/plan/odds/retiming.ts";
import { durationsOf } from "../pwa/src/plan/odds/samples.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const ODDS_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  plan_drawn_minutes: (pace, durations, count) => drawnMinutes(pace, durations, count),
  plan_durations: (problem, tasks) => durationsOf(problem, mapOf(tasks)),
  plan_at_pace: (problem, tasks, pace) => atPace(problem, mapOf(tasks), pace),
  plan_retimed: (problem, order, minutes) => retimingOf(problem).retime(order, minutes),
  plan_chosen: (problem, tasks, plans, pace) => plans.indexOf(chosen(problem, mapOf(tasks), plans, pace)),
  plan_is_clearly_less: (now, old) => isClearlyLess(now, old),
  plan_kept_plan: (presented, now) => keptPlan(presented, now),
  plan_crc32: (text) => crc32(text),
};

/** What Python has as a dict with free keys. */
function mapOf<Value>(named: Readonly<Record<string, Value>>): ReadonlyMap<string, Value> {
  return new Map(Object.entries(named));
}
