/** What Python may ask of the page's planner: one line a question, named as in Python, its arguments in `given`. */
import { keptPlan } from "../pwa/src/plan/kept_plan.ts";
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { objective, rank } from "../pwa/src/plan/model/schedule.ts";
import { chosen, isClearlyLess } from "../pwa/src/plan/odds/choice.ts";
import { crc32 } from "../pwa/src/plan/odds/crc32.ts";
import { drawnMinutes } from "../pwa/src/plan/odds/draws.ts";
import { atPace } from "../pwa/src/plan/odds/paced.ts";
import { retimingOf } from "../pwa/src/plan/odds/retiming.ts";
import { durationsOf } from "../pwa/src/plan/odds/samples.ts";
import { generations } from "./generation_asks.ts";
import { problemsAt, stretchesIn } from "./planned_shop.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const PLAN_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  plan_compiled: (problem) => plain(compileProblem(problem)),
  plan_rank: (problem, schedule) => rank(compileProblem(problem), schedule),
  plan_objective: (problem, schedule) => objective(compileProblem(problem), schedule),
  plan_drawn_minutes: (pace, durations, count) => drawnMinutes(pace, durations, count),
  plan_durations: (problem, tasks) => durationsOf(problem, mapOf(tasks)),
  plan_at_pace: (problem, tasks, pace) => atPace(problem, mapOf(tasks), pace),
  plan_retimed: (problem, order, minutes) => retimingOf(problem).retime(order, minutes),
  plan_chosen: (problem, tasks, plans, pace) => plans.indexOf(chosen(problem, mapOf(tasks), plans, pace)),
  plan_is_clearly_less: (now, old) => isClearlyLess(now, old),
  plan_kept: (presented, now) => keptPlan(presented, now),
  plan_crc32: (text) => crc32(text),
  plan_generations: (problem, calls) => generations(problem, calls),
  plan_problems: (written, looks, zone) => problemsAt(written, looks, zone),
  plan_stretches: (zone, hours, now, minutes, closed) => stretchesIn(zone, hours, now, minutes, closed),
};

/** What Python has as a dict with free keys. */
function mapOf<Value>(named: Readonly<Record<string, Value>>): ReadonlyMap<string, Value> {
  return new Map(Object.entries(named));
}

/** The value as JSON can hold it: a map by the texts of its keys, a set as its sorted numbers. */
export function plain(value: unknown): unknown {
  if (value instanceof Map) return plain(Object.fromEntries(value));
  if (value instanceof Set) return [...value].sort((a, b) => a - b);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, plain(one)]));
}
