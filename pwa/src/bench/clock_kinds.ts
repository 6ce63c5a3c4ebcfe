/** The kinds of clocks: the table that the server has too, and what is looked up in it. Twin of bench/clock_kinds.py. */
import { CLOCK_KINDS, SET_TEXTS } from "../tables.gen.ts";
import type { Clock, ClockRow, Operation, RingRow, RingText } from "../wire.gen.ts";
import { isUnclamped } from "./unclamped.ts";

export type ClockKind = keyof typeof CLOCK_KINDS;

type Written = (typeof CLOCK_KINDS)[ClockKind];

/** The kinds of happening that end a clock. */
export type Ending = NonNullable<Written["end"]>;

/** A row, with the names of icons and happenings as the table has them. */
type Row = Omit<Required<ClockRow>, "icon" | "end"> & {
  readonly icon: Written["icon"];
  readonly end: Ending | null;
};

type SaidOfIt = "name" | "running" | "due" | "late" | "asks" | "until";

/** By kind; the fields are described in bench/clock_kinds.py. */
export const CLOCKS: Readonly<Record<ClockKind, Row>> = CLOCK_KINDS;

export type Edge = RingRow["edge"];

/** The stage that takes the place of a wait's end where it was colder than the glue can stand. */
export const TOO_COLD_STAGE = "too-cold";

/** What a card says of a clock that is too cold. */
export const TOO_COLD = "Colder than its least temperature since it went on: the time that has passed proves nothing.";

/** What to know of the server's clock while a clock ran; "" where it was not set. */
export function clockRemark({ server_clock = "steady" }: Pick<Clock, "server_clock">): string {
  return SET_TEXTS[server_clock] ?? "";
}

/** The name of a repeat, counted from 1. */
export function againStage(number: number): string {
  return `again-${number}`;
}

/** What a clock of this operation is called and says: other words where its glue-up takes no clamps. */
export function wordsOf(kind: ClockKind, operation: Operation | undefined): Pick<Row, SaidOfIt> {
  const row = CLOCKS[kind];
  return (operation && isUnclamped(operation) && row.unclamped) || row;
}

/**
 * What a ring says: a title for a glance, and what to do. A stage from a newer server is its own title.
 *
 * operation: whose clock it is, where it is known.
 */
export function ringText(kind: ClockKind, stage: string, operation: Operation | undefined): RingText {
  const { rings, too_cold, again, unclamped: other } = CLOCKS[kind];
  const unclamped = operation && isUnclamped(operation) ? other : null;
  if (stage === TOO_COLD_STAGE && too_cold)
    return unclamped ? { title: unclamped.too_cold, text: too_cold.text } : too_cold;
  if (stage.startsWith("again-") && again) return again;
  const ring = rings.find((one) => one.stage === stage);
  return (ring && unclamped) ?? ring ?? { title: stage, text: "" };
}

/** What a person records to end the clock of a ring; null where hearing it is enough, and where it was too cold for its time to count. */
export function endOf(kind: ClockKind, stage: string): Ending | null {
  return stage === TOO_COLD_STAGE ? null : CLOCKS[kind].end;
}

/** Whether the work that a ring is about may be left for longer instead. */
export function mayWait(kind: ClockKind, stage: string): boolean {
  return stage === TOO_COLD_STAGE || CLOCKS[kind].rings.some((ring) => ring.stage === stage && ring.may_wait === true);
}

/** Whether seconds count, so that the page counts smoothly. */
export function isUrgent(kind: ClockKind): boolean {
  return CLOCKS[kind].urgent;
}

/** Whether it counts the open time of glue, from its spreading until it is clamped: nothing may come between. */
export function isOpenTime({ kind }: Pick<Clock, "kind">): boolean {
  return kind === "open";
}

/** Whether it rings in quiet hours too. */
export function ringsAtAnyHour(kind: ClockKind): boolean {
  return CLOCKS[kind].any_hour;
}

/** Whether it reminds of a danger rather than waits for the work. */
export function isReminder(kind: ClockKind): boolean {
  return CLOCKS[kind].reminder;
}

/** Whether hands race it, so that the page must not load a new version of itself meanwhile. */
export function isRaced(kind: ClockKind): boolean {
  return ringsAtAnyHour(kind) && !isReminder(kind);
}
