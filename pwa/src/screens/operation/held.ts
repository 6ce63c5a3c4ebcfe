/** Which running clocks keep a person from going on. */

import type { RunningClock } from "../../alerts/schedule.ts";
import { heldBy } from "../../bench/clocks.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { now, running } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";

/** Clocks of earlier operations that must run out before this one begins. */
export function holding(view: BuildView, operation: Operation) {
  return heldBy(operation, clocksOf(view), now.value);
}

/** The clock that keeps the clamps on; undefined when they may come off. */
export function keepingClamps(view: BuildView, operation: Operation): RunningClock | undefined {
  return clocksOf(view).find(
    ({ kind, phase, operation: of }) => of === operation.id && kind === "in-clamps" && phase === "running",
  );
}

function clocksOf(view: BuildView): RunningClock[] {
  return running.value.filter(({ build }) => build === view.id);
}
