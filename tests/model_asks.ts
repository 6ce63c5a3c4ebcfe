/** What Python may ask of the model of the page's planner, and of its budgets and chance. */
import { compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { craftFaults } from "../pwa/src/plan/model/craft_faults.ts";
import { ableHands, asAlike, differ, withHands } from "../pwa/src/plan/model/hands.ts";
import { earliestStart, endOf, hoursOf, latestStart, mornings, openMinutes } from "../pwa/src/plan/model/hours.ts";
import { topologicalOrder } from "../pwa/src/plan/model/precedence.ts";
import { planOf, scheduleOf } from "../pwa/src/plan/model/schedule.ts";
import { dearer, partOf, tries, triesFor } from "../pwa/src/plan/search/budget.ts";
import { Random } from "../pwa/src/plan/search/random.ts";

// biome-ignore lint/suspicious/noExplicitAny: what is given comes from Python, in the order of the arguments
export const MODEL_ASKS: Readonly<Record<string, (...given: any[]) => unknown>> = {
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
  plan_tries_for: (operations) => triesFor(operations),
  plan_dearer: (count, each, asked) => Array.from({ length: asked }, dearer(tries(count), each)),
};
