/** Plans in a thread of its own, one question after the other. An error here reaches the page as one of the thread. */
import type { Sheet } from "../wire.gen.ts";
import { ownPlan, type Told, type ToPlanner } from "./own_plan.ts";

const known = new Map<string, Sheet>();
let told: Told = { plan: null, pace: null };

addEventListener("message", ({ data }: MessageEvent<ToPlanner>) => {
  for (const [build, sheet] of Object.entries(data.sheets)) known.set(build, sheet);
  if (data.told) told = data.told;
  postMessage(ownPlan(data.question, known, told));
});
