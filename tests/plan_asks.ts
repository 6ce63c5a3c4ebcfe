/** What Python may ask of the page's planner: one line a question, named as in Python, its arguments in `given`. */
import { withoutBegun } from "../pwa/src/plan/model/begun.ts";
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { objective, rank } from "../pwa/src/plan/model/schedule.ts";
import { generations } from "./generation_asks.ts";
import { MODEL_ASKS } from "./model_asks.ts";
import { problemsAt, stretchesIn } from "./planned_shop.ts";
import { best, bounds, feasible, kept, moves, plans, releases, reordered, unclamped } from "./search_asks.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const PLAN_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
  ...MODEL_ASKS,
  plan_unbegun: (problem) => plain(withoutBegun(problem)),
  plan_compiled: (problem) => plain(compileProblem(problem)),
  plan_rank: (problem, schedule) => rank(compileProblem(problem), schedule),
  plan_objective: (problem, schedule) => objective(compileProblem(problem), schedule),
  plan_best: (problem, count, seed, before) => best(problem, count, seed, before),
  plan_plans: (problem, count, seed, before) => plans(problem, count, seed, before),
  plan_feasible: (problem) => feasible(problem),
  plan_bounds: (problem, due, hands, passes) => bounds(problem, due, hands, passes),
  plan_releases: (jobs) => releases(jobs),
  plan_moves: (problem, seed, weighed, due) => moves(problem, seed, weighed, due),
  plan_reordered: (problem, seed, order, count) => reordered(problem, seed, order, count),
  plan_unclamped: (problem, plan, acts) => unclamped(problem, plan, acts),
  plan_kept: (problem, plan, other) => kept(problem, plan, other),
  plan_generations: (problem, calls) => generations(problem, calls),
  plan_problems: (written, looks, zone) => problemsAt(written, looks, zone),
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
