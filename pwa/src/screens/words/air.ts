/** What is said of the air at the bench, and of a clock that runs by an old reading of it. */
import type { RunningClock } from "../../alerts/schedule.ts";
import { isOld } from "../../bench/air.ts";
import { TOO_COLD } from "../../bench/clock_kinds.ts";
import { degrees } from "../../bench/sentences.ts";
import { type UnfitAir, unfitIn } from "../../bench/unfit_air.ts";
import { now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Clock, Operation, Reading } from "../../wire.gen.ts";

/** The last reading, where it is too old to go by for glue that goes on now; null where there is none, or a fresh one. */
export function oldReading(): Reading | null {
  const last = shop.value.readings.at(-1);
  return last && isOld(last, now.value) ? last : null;
}

/** "17 °C (63 °F), 55 % humidity". */
export function airText({ celsius, humidity = null }: Pick<Reading, "celsius" | "humidity">): string {
  return humidity === null ? degrees(celsius) : `${degrees(celsius)}, ${humidity} % humidity`;
}

/** Why a glue or finish is not put on in this air. */
export function unfitText(unfit: UnfitAir): string {
  if (unfit.is === "damp")
    return `${unfitTitle(unfit)}: ${unfit.humidity} % humidity at the bench, it needs at most ${unfit.most} %.`;
  return `${unfitTitle(unfit)}: ${degrees(unfit.celsius)} at the bench, it needs at least ${degrees(unfit.least)}.`;
}

/** Clocks that run until a coat is dry enough for something. */
const DRYING: ReadonlySet<Clock["kind"]> = new Set(["recoat", "rest", "cure"]);

/** What to know where the air since a coat went on was unfit for its finish; null where it was not. */
export function slowDrying(
  { kind, celsius = null, humidity = null }: Clock,
  operation: Operation | undefined,
): string | null {
  if (!operation?.finish || celsius === null || !DRYING.has(kind)) return null;
  const unfit = unfitIn({}, operation, { celsius, humidity });
  if (!unfit) return null;
  const air = unfit.is === "damp" ? `${unfit.humidity} % humidity` : degrees(unfit.celsius);
  return `${unfitTitle(unfit)} since it went on, ${air}: it dries more slowly than this clock knows. Feel it before you go on.`;
}

/** "Too cold for this glue". */
export function unfitTitle({ is, stuff }: UnfitAir): string {
  return `Too ${is} for this ${stuff}`;
}

/** Whether it was too cold for a wait to prove anything, so that no time of it may be shown as if it did. */
export function isTooCold({ too_cold, least }: Clock): boolean {
  return Boolean(too_cold) && least !== null;
}

/** Until when a clock holds something back: a time, or, where it was too cold for that to prove anything, no time. */
export function heldUntil(clock: Clock): string | null {
  if (isTooCold(clock)) return "until it has set in the warm: so far it was too cold";
  return clock.least === null ? null : `until ${clockTime(clock.least, now.value)}`;
}

/** Why to read the air before glue or finish goes on: the last reading is old, and it counts. null where nothing asks. */
export function askForReading({ clocks, finish = "" }: Operation): string | null {
  const old = oldReading();
  if (!old || !(finish || clocks.some(({ figure }) => figure))) return null;
  return `Read the air first: the last reading, ${clockTime(old.ms, now.value)}, is too old.`;
}

/** What to know of the air that a clock goes by; null where it is as it should be. */
export function airWarning({ too_cold, old_reading, celsius, least, phase }: RunningClock): string | null {
  if (!old_reading) return too_cold ? TOO_COLD : null;
  if (too_cold && least !== null)
    return `At the last reading, ${degrees(celsius ?? 0)}, it was too cold for this glue. Read the air again: until then the time that passes proves nothing.`;
  if (phase !== "running") return null;
  const counts = least === null ? "shorter" : "longer";
  return `The air was read too long ago, at ${degrees(celsius ?? 0)}: the ${counts} time counts until you read it again.`;
}
