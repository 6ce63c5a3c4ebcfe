/** Plans in a thread of its own, one question after the other. An error here reaches the page as one of the thread. */
import type { PresentedPlan, Sheet } from "../wire.gen.ts";
import { ownPlan } from "./own_plan.ts";
import type { PlanQuestion } from "./plan_question.ts";

/**
 * What the thread is told. sheets: by build, those that it does not have yet. told: the last plan of the server, null
 * where there is none; left out while it is the one that the thread has.
 */
export type ToPlanner = {
  readonly question: PlanQuestion;
  readonly sheets: Readonly<Record<string, Sheet>>;
  readonly told?: PresentedPlan | null;
};

const known = new Map<string, Sheet>();
let told: PresentedPlan | null = null;

addEventListener("message", ({ data }: MessageEvent<ToPlanner>) => {
  for (const [build, sheet] of Object.entries(data.sheets)) known.set(build, sheet);
  if (data.told !== undefined) told = data.told;
  postMessage(ownPlan(data.question, known, told));
});
