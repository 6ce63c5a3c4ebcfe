/** What is said of the air at the bench, and of a clock that runs by an old reading of it. */
import type { RunningClock } from "../../alerts/schedule.ts";
import { isOld } from "../../bench/air.ts";
import { TOO_COLD } from "../../bench/clock_kinds.ts";
import { now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Operation, Reading } from "../../wire.gen.ts";

/** The last reading, where it is too old to go by for glue that goes on now; null where there is none, or a fresh one. */
export function oldReading(): Reading | null {
  const last = shop.value.readings.at(-1);
  return last && isOld(last, now.value) ? last : null;
}

/** "17 °C, 55 % humidity". */
export function airText({ celsius, humidity = null }: Pick<Reading, "celsius" | "humidity">): string {
  return humidity === null ? `${celsius} °C` : `${celsius} °C, ${humidity} % humidity`;
}

/** Why to read the air before glue goes on: the last reading is old and a clock goes by it. null where nothing asks. */
export function askForReading({ clocks }: Operation): string | null {
  const old = oldReading();
  if (!old || !clocks.some(({ figure }) => figure)) return null;
  return `Read the air first: the last reading, ${clockTime(old.ms, now.value)}, is too old.`;
}

/** What to know of the air that a clock goes by; null where it is as it should be. */
export function airWarning({ too_cold, old_reading, celsius, least, phase }: RunningClock): string | null {
  if (!old_reading) return too_cold ? TOO_COLD : null;
  if (too_cold && least !== null)
    return `At the last reading, ${celsius} °C, it was too cold for this glue. Read the air again: until then the time that passes proves nothing.`;
  if (phase !== "running") return null;
  const counts = least === null ? "shorter" : "longer";
  return `The air was read too long ago, at ${celsius} °C: the ${counts} time counts until you read it again.`;
}
