/** The waits that run or may be begun: which ends soonest, and which kinds set or dry. */
import { MINUTE_MS } from "../durations.ts";
import type { ClockSpec, Operation } from "../wire.gen.ts";
import { isReminder, wordsOf } from "./clock_kinds.ts";
import type { BuildClock } from "./clocks.ts";
import type { OpenBuild } from "./standing.ts";

/** A wait of so many minutes is one for the night, and no time that work is fitted into. Common practice, no source. */
export const OVERNIGHT = 4 * 60;

/** minutes: until it ends. until: with what it ends, after the word "until". */
export type Wait = { readonly minutes: number; readonly until: string };

/** What a clock of these builds is called and says. */
export function wordsFor(open: readonly OpenBuild[], { build, operation, kind }: BuildClock) {
  const sheet = open.find(({ id }) => id === build)?.sheet;
  return wordsOf(
    kind,
    sheet?.operations.find(({ id }) => id === operation),
  );
}

/** The running wait that ends soonest and then asks for hands. */
export function shortestWait(open: readonly OpenBuild[], running: readonly BuildClock[], now: number): Wait | null {
  const waits = running.flatMap((clock) => {
    const { least, too_cold } = clock;
    const { until } = wordsFor(open, clock);
    return least !== null && least > now && !too_cold && until ? [{ minutes: (least - now) / MINUTE_MS, until }] : [];
  });
  return waits.length ? waits.reduce((a, b) => (a.minutes <= b.minutes ? a : b)) : null;
}

/** The longest planned wait that an operation starts, in minutes; a reminder is no wait. */
export function longestWait(op: Operation): number {
  return Math.max(0, ...op.clocks.filter(({ kind }) => !isReminder(kind)).map(minutesOf));
}

/** What goes on in an operation's wait: its glue sets, its coat dries, or the wood only rests. */
export function waitIsFor({ clocks, step }: Operation): "dry" | "rest" | "set" {
  if (clocks.some(({ kind }) => kind === "in-clamps")) return "set";
  return step === "coat" ? "dry" : "rest";
}

function minutesOf({ least_ms }: ClockSpec): number {
  return (least_ms ?? 0) / MINUTE_MS;
}
