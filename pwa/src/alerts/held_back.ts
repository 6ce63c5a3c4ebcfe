/** Which rings wait while somebody has open glue under their hands: the phone alone decides this, for its own sound. */
import { keyOf } from "../bench/choice.ts";
import { isOpenTime, ringsAtAnyHour } from "../bench/clock_kinds.ts";
import { MINUTE_MS } from "../durations.ts";
import type { Alarm, RunningClock } from "./schedule.ts";

/** So long after the open time it is clamped, or was forgotten. Common practice, no source. */
const LONGEST_AFTER = 10 * MINUTE_MS;

/**
 * The rings that may interrupt at `now`, in their order. others: keys of operations that other people have in hand; their
 * glue leaves these hands free.
 */
export function mayInterrupt(
  ringing: readonly Alarm[],
  running: readonly RunningClock[],
  others: ReadonlySet<string>,
  now: number,
): readonly Alarm[] {
  const isGlueOpen = running.some(
    (clock) => isOpenTime(clock) && !others.has(keyOf(clock)) && now < (clock.most ?? now) + LONGEST_AFTER,
  );
  return isGlueOpen ? ringing.filter(({ kind }) => ringsAtAnyHour(kind)) : ringing;
}
