/** How far an operation is, in a word and a shape. */

import { isUnclamped } from "../../bench/unclamped.ts";
import type { IconName } from "../../controls/icon.tsx";
import type { Operation, OperationState } from "../../wire.gen.ts";

export const STATUS: Readonly<Record<OperationState["status"], readonly [string, IconName]>> = {
  waiting: ["Waiting", "waiting"],
  ready: ["Ready", "ready"],
  "in-hand": ["In hand", "in-hand"],
  "in-clamps": ["In clamps", "clamp"],
  done: ["Done", "done"],
  spoiled: ["Part spoiled", "spoiled"],
};

/** How far this operation is: a glue-up without clamps is not in them while its glue sets. */
export function statusWords(status: OperationState["status"], operation: Operation): readonly [string, IconName] {
  return status === "in-clamps" && isUnclamped(operation) ? ["Glue setting", "waiting"] : STATUS[status];
}

/** Of an operation that is finished, but measured something out of its bounds. */
export const TO_MEASURE: readonly [string, IconName] = ["To be measured again", "waiting"];

/** Of an operation that is ready but for its fixture, in which something else stands. */
export const NO_FIXTURE: readonly [string, IconName] = ["Waits for its fixture", "waiting"];

/** Of a glue-up that is ready but for clamps that something else is in. */
export const NO_CLAMPS: readonly [string, IconName] = ["Waits for clamps", "waiting"];
