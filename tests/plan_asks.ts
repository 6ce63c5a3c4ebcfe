/** What Python may ask of the page's planner: one line a question, named as in Python, its arguments in `given`. */
import { withoutBegun } from "../pwa/src/plan/model/begun.ts";
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { craftFaults } from "../pwa/src/plan/model/craft_faults.ts";
import { ableHands, asAlike, differ, withHands } from "../pwa/src/plan/model/hands.ts";
import { earliestStart, endOf, hoursOf, latestStart, mornings, openMinutes } from "../pwa/src/plan/model/hours.ts";
import { topologicalOrder } from "../pwa/src/plan/model/precedence.ts";
import { objective, planOf, rank, rank, scheduleOf } from "../pwa/src/plan/model/schedule.ts";
import { whichHands } from "../pwa/src/plan/model/which_hands.ts";
import { partOf, tries, within } from "../pwa/src/plan/search/budget.ts";
import { Random } from "../pwa/src/plan/search/random.ts";
import { CREW_ASKS } from "./crew_asks.ts";
import { generations } from "./generation_asks.ts";
import { MODEL_ASKS } from "./model_asks.ts";
import { ODDS_ASKS } from "./odds_asks.ts";
import { plansAt, problemsAt, problemsAt, stretchesIn, stretchesIn } from "./planned_shop.ts";
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
  plan_stretches: (zone, hours, now, minutes, closed) => stretchesIn(zone, hours, now, minutes, closed),
  plan_problems: (written, looks, zone) => problemsAt(written, looks, zone),
  plan_stretches: (zone, hours, now, minutes, closed) => stretchesIn(zone, hours, now, minutes, closed),
  plan_of: (problem, schedule, bound) => planOf(compileProblem(problem), schedule, bound),
  plan_schedule: (problem, plan) => scheduleOf(compileProblem(problem), plan),
  plan_craft_faults: (problem, { order, start, end }) => {
    const compiled = compileProblem(problem);
    return compiled.craft && craftFaults(compiled, compiled.craft, order, start, end);
  },
  plan_hours: (windows, start) => hoursOf(windows, start),
  plan_mornings: (windows, start) => mornings(hoursOf(windows, start)),
  plan_open_minutes: (windows, start, at) => openMinutes(hoursOf(windows, start), at),
  plan_earliest_start: (windows, start, at, minutes, breakable) =>
    earliestStart(hoursOf(windows, start), at, minutes, breakable),
  plan_latest_start: (windows, start, by, minutes, breakable) =>
    latestStart(hoursOf(windows, start), by, minutes, breakable),
  plan_end_of: (windows, start, at, minutes) => endOf(hoursOf(windows, start), at, minutes),
  plan_order: (count, pairs, place) => topologicalOrder(count, pairs, place ?? undefined),
  plan_differ: (problem) => differ(problem),
  plan_as_alike: (problem) => asAlike(problem),
  plan_able_hands: (problem, op) => ableHands(problem, op),
  plan_with_hands: (problem, plan) => withHands(problem, plan),
  plan_which_hands: (placed, hands) => whichHands(placed, hands),
  plan_below: (seed, counts) => {
    const random = new Random(seed);
    return counts.map((count: number) => random.below(count));
  },
  plan_around: (seed, spread) => new Random(seed).around(spread),
  plan_one_of: (seed, things) => new Random(seed).oneOf(things),
  plan_tries: (count, until, asked) => {
    const budget = tries(count);
    return Array.from({ length: asked }, until === null ? budget : partOf(budget, until));
  },
  plan_within: (seconds, times) => {
    const left = [...times];
    const budget = within(seconds, () => left.shift());
    return times.slice(1).map(() => budget());
  },
};

/** The value as JSON can hold it: a map by the texts of its keys, a set as its sorted numbers. */
export function plain(value: unknown): unknown {
  if (value instanceof Map) return plain(Object.fromEntries(value));
  if (value instanceof Set) return [...value].sort((a, b) => a - b);
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, plain(one)]));
}
