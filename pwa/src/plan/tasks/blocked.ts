/** What cannot be planned yet: what waits for a measured size. Twin of plan/tasks/blocked.py, but for its sentences. */
import { type OpenBuild, stateIn } from "./task.ts";

const NOT_BEGUN: ReadonlySet<string> = new Set(["waiting", "ready", "spoiled"]);

/** What is to be measured again, and all that waits for it. */
export function blockedOperations(build: OpenBuild): ReadonlySet<string> {
  const held = new Set<string>();
  for (const op of build.sheet.operations) {
    const { to_measure = [], status } = stateIn(build, op.id);
    if (to_measure.length || (NOT_BEGUN.has(status) && op.after.some((before) => held.has(before)))) held.add(op.id);
  }
  return held;
}
