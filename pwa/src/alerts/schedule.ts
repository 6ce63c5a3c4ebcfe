/** What rings, with quiet hours and what was heard, and when to look again. Twin of alerts/schedule.py. */
import { compareText } from "../bench/book.ts";
import { ringsAtAnyHour } from "../bench/clock_kinds.ts";
import { rings } from "../bench/clocks.ts";
import type { Bench, Clock, Ring } from "../wire.gen.ts";
import { type Quiet, ringsAt } from "./quiet.ts";

/** A clock that runs in a build. */
export type RunningClock = Clock & { readonly build: string };

/** A ring of it. at: when the clock wants it, which may be before it is to be heard, for quiet hours. */
export type Alarm = Ring & { readonly build: string };

/** The benches of the builds whose clocks run, by build. */
export type Benches = ReadonlyMap<string, Bench>;

/**
 * What should ring at `now`: of each clock the latest ring whose moment has come, unless it was heard.
 *
 * First what cannot wait, then the longest due: what was missed while nobody could hear it comes in that order.
 */
export function due(running: readonly RunningClock[], benches: Benches, quiet: Quiet | null, now: number): Alarm[] {
  const ringing = running.flatMap((clock) => {
    const last = rings(clock, now).findLast(({ kind, at }) => at <= now && ringsAt(quiet, kind, at) <= now);
    const heard = benches.get(clock.build)?.operations[clock.operation]?.heard;
    return last && !heard?.includes(last.name) ? [{ ...last, build: clock.build }] : [];
  });
  return ringing.sort(byNeed);
}

function byNeed(a: Alarm, b: Alarm): number {
  const waits = (ring: Alarm) => Number(!ringsAtAnyHour(ring.kind));
  const byName = compareText(a.build, b.build) || compareText(a.operation, b.operation) || compareText(a.name, b.name);
  return waits(a) - waits(b) || a.at - b.at || byName;
}

/** The next moment at which anything rings or a clock turns due or late, with no new happening; null for none. */
export function nextChange(running: readonly RunningClock[], quiet: Quiet | null, now: number): number | null {
  const coming = running
    .flatMap((clock) => [
      clock.least ?? now,
      clock.most ?? now,
      ...rings(clock, now).map(({ kind, at }) => ringsAt(quiet, kind, at)),
    ])
    .filter((at) => at > now);
  return coming.length > 0 ? Math.min(...coming) : null;
}
