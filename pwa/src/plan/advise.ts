/** All the way from open builds to a plan. What people read of it, the server says. */
import type { Pace, Plan, Problem } from "../wire.gen.ts";
import { chosen } from "./odds/choice.ts";
import { atPace } from "./odds/paced.ts";
import { unclampedEarly } from "./search/early_unclamp.ts";
import { feasiblePart } from "./search/infeasible.ts";
import { type Counts, problemFromBuilds } from "./tasks/from_builds.ts";
import type { Calendar, Worker } from "./tasks/hours.ts";
import type { Gone } from "./tasks/minutes.ts";
import type { OpenBuild, Tasks } from "./tasks/task.ts";

/**
 * What is to be planned. clamps: how many the shop has, by kind. now: server time in ms, whole minutes.
 *
 * fixtures: how many the shop has of its own, by name. finishingRoom: coats dry where no dust gets. gone: how much of
 * the shop's hours went by since then. workers: who works here; empty for one pair of hands that may do everything.
 * pace: how long work really takes in this shop.
 */
export type PlanRequest = {
  readonly builds: readonly OpenBuild[];
  readonly hours: Calendar;
  readonly clamps: Counts;
  readonly now: number;
  readonly fixtures: Counts;
  readonly finishingRoom: boolean;
  readonly gone: Gone;
  readonly workers: readonly Worker[];
  readonly pace: Pace;
};

/**
 * The plan chosen of those that `find` makes, in minutes from now; the problem that it solves, without what can never be
 * planned, and its tasks, by their operations.
 *
 * Of several plans the first stays, unless another has clearly better odds.
 */
export function advise(
  { builds, hours, clamps, now, fixtures, finishingRoom, gone, workers, pace }: PlanRequest,
  find: (problem: Problem) => readonly Plan[],
): { readonly plan: Plan; readonly problem: Problem; readonly tasks: Tasks } {
  const whole = problemFromBuilds(builds, hours, clamps, now, 1, fixtures, finishingRoom, gone, workers);
  const { tasks } = whole;
  const problem = atPace(feasiblePart(whole.problem)[0], tasks, pace);
  const afterwards = problem.ops.flatMap(({ id }) => (tasks.get(id)?.act === "work" ? [] : [id]));
  const plan = unclampedEarly(problem, chosen(problem, tasks, find(problem), pace), afterwards);
  return { plan, problem, tasks };
}
