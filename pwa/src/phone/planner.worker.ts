/** Plans in a thread of its own, one question after the other. An error here reaches the page as one of the thread. */
import type { PresentedPlan, Sheet } from "../wire.gen.ts";
import { ownPlan, type ToPlanner } from "./own_plan.ts";

const known = new Map<string, Sheet>();
let told: PresentedPlan | null = null;

addEventListener("message", ({ data }: MessageEvent<ToPlanner>) => {
  for (const [build, sheet] of Object.entries(data.sheets)) known.set(build, sheet);
  if (data.told !== undefined) told = data.told;
  postMessage(ownPlan(data.question, known, told));
});
