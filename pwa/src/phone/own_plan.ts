/** The plan that this phone makes by itself: as the server makes it, going on from the last that the server made. */
import { advise } from "../plan/advise.ts";
import { keptPlan } from "../plan/kept_plan.ts";
import { bestPlans } from "../plan/planner.ts";
import { tries, triesFor } from "../plan/search/budget.ts";
import { Random } from "../plan/search/random.ts";
import { type Presented, presented } from "../plan/steps.ts";
import { UNTIMED } from "../tables.gen.ts";
import type { Pace, Plan, PresentedPlan, Problem, Sheet } from "../wire.gen.ts";
import type { PlanQuestion } from "./plan_question.ts";
import { askedOf } from "./plan_request.ts";

/** The same bench gives the same plan. Twin of SEED in planner/process.py. */
const SEED = 1;

/** The order and times that the phone worked out; what else there is to say, the server says. */
export type OwnPlan = Presented;

/** What the server told. plan: its last, null while no build is open. pace: the shop's, null while nothing was timed. */
export type Told = { readonly plan: PresentedPlan | null; readonly pace: Pace | null };

/**
 * What the thread is told. sheets: by build, those that it does not have yet. told: what the server told; left out while
 * it is what the thread has.
 */
export type ToPlanner = {
  readonly question: PlanQuestion;
  readonly sheets: Readonly<Record<string, Sheet>>;
  readonly told?: Told;
};

/**
 * The plan for a question. sheets: by build; one without is left out. It goes on from the server's plan, if there is one.
 *
 * Throws Refused where the shop's hours or hands do not suffice.
 */
export function ownPlan(
  question: PlanQuestion,
  sheets: ReadonlyMap<string, Sheet>,
  { plan: told, pace }: Told,
): OwnPlan {
  const asked = askedOf(question, sheets);
  const find = (problem: Problem, before: Plan | null) =>
    bestPlans(problem, tries(triesFor(problem.ops.length)), new Random(SEED), before);
  const firstOf = (problem: Problem) => (problem.hands > 1 ? null : (find(problem, null)[0] ?? null));
  const { plan, problem, tasks } = advise({ ...asked, pace: pace ?? UNTIMED }, (problem) =>
    find(problem, told ? keptPlan(told, asked.now) : firstOf(problem)),
  );
  return presented(plan, problem, tasks, asked.builds, asked.now);
}
