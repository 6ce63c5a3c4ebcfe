/** What speaks against going on with an operation: what comes before it, running clocks, and what is left open. */

import type { RunningClock } from "../../alerts/schedule.ts";
import { type ClampsShort, clampsOut, shortFor } from "../../bench/clamps.ts";
import { heldBy } from "../../bench/clocks.ts";
import { fixtureUses, type Taken, takenFrom } from "../../bench/fixtures.ts";
import type { Step } from "../../bench/happening_kinds.ts";
import { type BuildView, isOpen } from "../../bench/loaded_builds.ts";
import { againSentences, measureAgain } from "../../bench/measured.ts";
import { countsIn } from "../../bench/shop.ts";
import { type UnfitAir, unfitFor } from "../../bench/unfit_air.ts";
import { builds, now, running, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { hasBounds, isWithin } from "../../recipe/bounds.ts";
import type { Operation } from "../../wire.gen.ts";
import { airWarning, heldUntil, unfitText } from "../words/air.ts";
import { enoughSentence, shortSentence } from "../words/clamps.ts";
import { takenSentence } from "../words/fixtures.ts";
import { counted, listed, operationOf, titleOf } from "../words/names.ts";

/** Clocks of earlier operations that must run out before this one begins. */
export function holding(view: BuildView, operation: Operation) {
  return heldBy(operation, clocksOf(view), now.value);
}

/** The steps up to the glue or the coat. */
export const UNTIL_IT_IS_ON: ReadonlySet<Step> = new Set(["began", "mixed", "glue-on", "coat-on"]);

/**
 * How the air is unfit for the glue or coat to which a step leads; null where it is fit, or where somebody has given a
 * reason for this reading as the operation began.
 */
export function unfitAt(view: BuildView, operation: Operation, step: Step): UnfitAir | null {
  const { readings } = shop.value;
  const began = view.bench.operations[operation.id]?.marks.began;
  const answered = began !== undefined && (readings.at(-1)?.ms ?? 0) <= began;
  if (!UNTIL_IT_IS_ON.has(step) || (step !== "began" && answered)) return null;
  return unfitFor(view.sheet.figures, operation, readings, now.value);
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

/** Whether something before this operation is not done, or a clock of it still runs, as it is to begin. */
export function waitsForOthers(view: BuildView, operation: Operation, step: Step): boolean {
  const waits = view.bench.operations[operation.id]?.waits_for.length ?? 0;
  return step === "began" && (waits > 0 || holding(view, operation).length > 0);
}

/** What holds a fixture that it needs; null when all are free. */
export function inTheWay(view: BuildView, operation: Operation): Taken | null {
  return takenFrom(view.id, operation, fixtureUses(openBuilds()), running.value, countsIn(shop.value, "fixtures"));
}

/** Of which clamps it takes more than are free; null when they suffice. */
export function clampsShort(view: BuildView, operation: Operation): ClampsShort | null {
  return shortFor(view.id, operation, clampsOut(openBuilds(), running.value), countsIn(shop.value, "clamps"));
}

/**
 * The same, as it is to begin, and as its glue is to go on where something has taken clamps since it began; null where
 * they suffice, or where nothing has changed since somebody was asked.
 */
export function shortAt(view: BuildView, operation: Operation, step: Step): ClampsShort | null {
  const began = view.bench.operations[operation.id]?.marks.began;
  const short = step === "began" || step === "glue-on" ? clampsShort(view, operation) : null;
  if (step === "began" || began === undefined) return short;
  return short?.holders.some(({ since }) => since > began) ? short : null;
}

function openBuilds(): readonly BuildView[] {
  return builds.value.filter(({ bench }) => isOpen(bench));
}

/** One sentence against recording this step now; null when nothing speaks against it. */
export function objectionTo(view: BuildView, operation: Operation, step: Step): string | null {
  const state = view.bench.operations[operation.id];
  if (step === "began" && state) {
    const [first] = state.waits_for;
    if (first) return [`Waits for: ${titleOf(view.sheet, first)}.`, ...againOf(view, first)].join(" ");
    const [held] = holding(view, operation);
    const until = held && heldUntil(held);
    if (held && until) return `Held ${until}: ${titleOf(view.sheet, held.operation)}.`;
    const taken = inTheWay(view, operation);
    if (taken) return takenSentence(taken, now.value);
  }
  const short = shortAt(view, operation, step);
  if (short) return [shortSentence(short), enoughSentence(short, now.value)].filter(Boolean).join(" ");
  const unfit = unfitAt(view, operation, step);
  if (unfit) return unfitText(unfit);
  if (step === "clamps-off") {
    const clock = keepingClamps(view, operation);
    if (!clock) return null;
    return clock.too_cold ? airWarning(clock) : `Not before ${clockTime(clock.least ?? now.value, now.value)}.`;
  }
  if (step !== "finished") return null;
  const left = whatIsLeft(view, operation);
  return [left && `Still open: ${left}.`, ...outOfBounds(view, operation)].filter(Boolean).join(" ") || null;
}

/** What an operation that others wait for has to measure again, a sentence each. */
export function againOf(view: BuildView, operation: string): readonly string[] {
  const op = operationOf(view.sheet, operation);
  return op ? againSentences(view.sheet, view.bench, op) : [];
}

/** What an operation in hand has measured, and not within its bounds, a sentence each. */
export function outOfBounds(view: BuildView, operation: Operation): readonly string[] {
  return view.sheet.sizes.flatMap((size) => {
    const value = view.bench.as_built[`${size.once ? "" : operation.piece}|${size.name}`]?.value;
    const isHere = operation.measure?.includes(size.name) && hasBounds(size);
    const isOut = isHere && (value === undefined || !isWithin(size, value));
    return isOut ? [measureAgain(size, value, view.sheet.units)] : [];
  });
}

/** What of it is not ticked or not checked: "3 parts and 1 check"; "" where nothing is. */
export function whatIsLeft(view: BuildView, operation: Operation): string {
  const state = view.bench.operations[operation.id];
  const parts = state?.left.length ?? 0;
  const checks = (operation.checks ?? []).filter((_, n) => state?.checks[String(n)] !== true).length;
  return listed([...(parts ? [counted(parts, "part")] : []), ...(checks ? [counted(checks, "check")] : [])]);
}

/** What has to be answered before a step is recorded. */
export type Question = "turn" | "air" | "clamps" | "early" | "left";

/** All that speaks against recording this step now, in the order in which it is asked. */
export function questionsAt(view: BuildView, operation: Operation, step: Step): readonly Question[] {
  const waits = waitsForOthers(view, operation, step);
  const found: readonly (readonly [Question, boolean])[] = [
    ["turn", waits || (step === "began" && inTheWay(view, operation) !== null)],
    ["clamps", shortAt(view, operation, step) !== null],
    ["air", !waits && unfitAt(view, operation, step) !== null],
    ["early", step === "clamps-off" && objectionTo(view, operation, step) !== null],
    ["left", step === "finished" && objectionTo(view, operation, step) !== null],
  ];
  return found.filter(([, asks]) => asks).map(([question]) => question);
}
