/** What Python may ask of the page's planner: one line a question, named as in Python, its arguments in `given`. */
import { withoutBegun } from "../pwa/src/plan/model/begun.ts";
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { objective, rank } from "../pwa/src/plan/model/schedule.ts";
import { CREW_ASKS } from "./crew_asks.ts";
import { generations } from "./generation_asks.ts";
import { MODEL_ASKS } from "./model_asks.ts";
import { ODDS_ASKS } from "./odds_asks.ts";
import { heard, phonesChoice } from "./phone_plan.ts";
import { plansAt, problemsAt, stretchesIn } from "./planned_shop.ts";
import { SEARCH_ASKS } from "./search_asks.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const PLAN_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  ...MODEL_ASKS,
  ...ODDS_ASKS,
  ...SEARCH_ASKS,
  ...CREW_ASKS,
  plan_compiled: (problem) => plain(compileProblem(problem)),
  plan_unbegun: (problem) => plain(withoutBegun(problem)),
  plan_rank: (problem, schedule) => rank(compileProblem(problem), schedule),
  plan_objective: (problem, schedule) => objective(compileProblem(problem), schedule),
  plan_generations: (problem, calls) => generations(problem, calls),
  plan_plans_at: (written, looks, told, zone, pace, count) => plansAt(written, looks, told, zone, pace, count),
  plan_problems: (written, looks, zone) => problemsAt(written, looks, zone),
  plan_heard: (shop, written) => heard(shop, written),
  plan_phones_choice: (shop, now, ends, told) => phonesChoice(shop, now, ends, told),
  plan_stretches: (zone, hours, now, minutes, closed) => stretchesIn(zone, hours, now, minutes, closed),
};

/** The value as JSON can hold it: a map by the texts of its keys, a set as its sorted numbers. */
export function plain(value: unknown): unknown {
  if (value instanceof Map) return plain(Object.fromEntries(value));
  if (value instanceof Set) return [...value].sort((a, b) => a - b);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, plain(one)]));
}
