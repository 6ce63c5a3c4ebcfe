/** What stands in a fixture, in words. */
import type { Taken } from "../../bench/fixtures.ts";
import { clockTime } from "../../moments.ts";
import { fullTitle, titleOf } from "./names.ts";

/**
 * "Form for the bows is taken by “Laminate the left bow, piece A”. Free at 16:10, when the clamps come off."
 *
 * With the build's name where the shop owns it, since another build may hold it.
 */
export function takenSentence(taken: Taken, now: number): string {
  const { build, op } = taken.by;
  const of = taken.fixture.owned && build.name ? ` of ${build.name}` : "";
  return `${taken.fixture.title} is taken by “${fullTitle(build.sheet, op.id)}”${of}. ${freeSentence(taken, now)}`;
}

/** When it is free: "Free at 16:10, when the clamps come off." */
export function freeSentence({ by: { build, op }, clock }: Pick<Taken, "by" | "clock">, now: number): string {
  const until = op.held_until ? `“${titleOf(build.sheet, op.held_until)}”` : "";
  const at = clock?.least ? clockTime(clock.least, now) : "";
  if (until) return `Free after ${until}${at && `, the clamps stay on until ${at}`}.`;
  if (at) return `Free at ${at}, when the clamps come off.`;
  return build.bench.operations[op.id]?.status === "in-clamps"
    ? "Free when its clamps are off."
    : "Free when that is done.";
}
