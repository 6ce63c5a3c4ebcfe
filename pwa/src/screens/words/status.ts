/** How far an operation is, in a word and a shape. */
import type { OperationState } from "../../bench/state.ts";
import type { IconName } from "../../controls/icon.tsx";

export const STATUS: Readonly<Record<OperationState["status"], readonly [string, IconName]>> = {
  waiting: ["Waiting", "waiting"],
  ready: ["Ready", "ready"],
  "in-hand": ["In hand", "in-hand"],
  "in-clamps": ["In clamps", "clamp"],
  done: ["Done", "done"],
  spoiled: ["Part spoiled", "spoiled"],
};
