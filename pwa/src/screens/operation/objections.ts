/** What speaks against going on with an operation: what comes before it, running clocks, and what is left open. */

import type { RunningClock } from "../../alerts/schedule.ts";
import { heldBy } from "../../bench/clocks.ts";
import { fixtureUses, type Taken, takenFrom } from "../../bench/fixtures.ts";
import type { Step } from "../../bench/happening_kinds.ts";
import { type BuildView, isOpen } from "../../bench/loaded_builds.ts";
import { builds, countsIn, now, running, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Operation } from "../../wire.gen.ts";
import { airWarning } from "../words/air.ts";
import { takenSentence } from "../words/fixtures.ts";
import { counted, listed, titleOf } from "../words/names.ts";

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

/** What holds a fixture that it needs; null when all are free. */
export function inTheWay(view: BuildView, operation: Operation): Taken | null {
  const open = builds.value.filter(({ bench }) => isOpen(bench));
  return takenFrom(view.id, operation, fixtureUses(open), running.value, countsIn(shop.value, "fixtures"));
}

/** One sentence against recording this step now; null when nothing speaks against it. */
export function objectionTo(view: BuildView, operation: Operation, step: Step): string | null {
  const state = view.bench.operations[operation.id];
  if (step === "began" && state) {
    const [first] = state.waits_for;
    if (first) return `Waits for: ${titleOf(view.sheet, first)}.`;
    const [held] = holding(view, operation);
    if (held?.least) return `Held until ${clockTime(held.least, now.value)}: ${titleOf(view.sheet, held.operation)}.`;
    const taken = inTheWay(view, operation);
    return taken && takenSentence(taken, now.value);
  }
  if (step === "clamps-off") {
    const clock = keepingClamps(view, operation);
    if (!clock) return null;
    return clock.too_cold ? airWarning(clock) : `Not before ${clockTime(clock.least ?? now.value, now.value)}.`;
  }
  return step === "finished" ? whatIsLeft(operation, state) : null;
}

function whatIsLeft(operation: Operation, state: BuildView["bench"]["operations"][string] | undefined): string | null {
  const parts = state?.left.length ?? 0;
  const checks = (operation.checks ?? []).filter((_, n) => state?.checks[String(n)] !== true).length;
  const words = [...(parts ? [counted(parts, "part")] : []), ...(checks ? [counted(checks, "check")] : [])];
  return words.length ? `Still open: ${listed(words)}.` : null;
}
