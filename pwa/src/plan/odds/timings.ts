/** Kinds of work, each with a pace of its own. */
import type { Operation, PlannedTask } from "../../wire.gen.ts";

/**
 * The kind of work that has a pace of its own: gluing up, a dry fit, a coat, what is done at a station; or an act other
 * than the work itself.
 */
export function kindOf({ step = "work", station = "" }: Operation, act: PlannedTask["act"]): string {
  if (act !== "work") return act;
  return step === "work" ? station : step;
}
