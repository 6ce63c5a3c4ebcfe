/** Quiet hours: a ring waits until they end, unless its kind rings at any hour. Twin of alerts/quiet.py. */
import { type ClockKind, ringsAtAnyHour } from "../bench/clock_kinds.ts";
import { DAY_MS, LATEST_MS, MINUTE_MS } from "../durations.ts";

const HOURS = /^(?:[01]\d|2[0-3]):[0-5]\d$/;
/** A zone's name; browsers also take a mere offset. */
const NAME = /^[A-Z]/;

/**
 * start, end: ms after midnight, civil time of a zone of the IANA database. offset: that zone's, ms ahead of UTC.
 *
 * known: by the moment a ring is due, when it is heard; asked each second, and zones are slow to ask.
 */
export type Quiet = {
  readonly start: number;
  readonly end: number;
  readonly offset: (ms: number) => number;
  readonly known: Map<number, number>;
};

/** The shop's setting "quiet": {"from", "to", "zone"}; null where there are none, or none that can be read. */
export function readQuiet(setting: unknown): Quiet | null {
  const { from, to, zone } = (setting ?? {}) as Record<string, unknown>;
  if (typeof from !== "string" || typeof to !== "string" || typeof zone !== "string") return null;
  if (!HOURS.test(from) || !HOURS.test(to) || from === to || !NAME.test(zone)) return null;
  const offset = offsetIn(zone);
  return offset && { start: hour(from), end: hour(to), offset, known: new Map() };
}

/** When a ring that is due at `due` (server time in ms) is to be heard: then, or when the quiet hours end. */
export function ringsAt(quiet: Quiet | null, kind: ClockKind, due: number): number {
  if (!quiet || ringsAtAnyHour(kind)) return due;
  const known = quiet.known.get(due) ?? endOf(quiet, due);
  quiet.known.set(due, known);
  return known;
}

/** The moment itself, or the end of the quiet hours that it lies in. */
function endOf(quiet: Quiet, due: number): number {
  if (due >= LATEST_MS || !isQuiet(quiet, due)) return due;
  const today = Math.floor((due + quiet.offset(due)) / DAY_MS) * DAY_MS;
  const ends = [0, DAY_MS].flatMap((day) => [Math.max, Math.min].map((fold) => moment(quiet, today + day, fold)));
  return Math.min(...ends.filter((end) => end > due && !isQuiet(quiet, end)));
}

/** Whether the moment is in the quiet hours; their last minute's end is not. */
export function isQuiet({ start, end, offset }: Quiet, ms: number): boolean {
  const civil = (((ms + offset(ms)) % DAY_MS) + DAY_MS) % DAY_MS;
  return start < end ? start <= civil && civil < end : civil >= start || civil < end;
}

/**
 * The end of quiet hours on a day. fold: of the two moments where clocks are set back, max gives the first, min the
 * second; where they are set forward, both lie beside the hour that is left out, as Python reckons it (PEP 495).
 */
function moment({ end, offset }: Quiet, day: number, fold: (a: number, b: number) => number): number {
  const civil = day + end;
  return civil - offset(civil - fold(offset(civil - DAY_MS), offset(civil + DAY_MS)));
}

function hour(text: string): number {
  const [hours, minutes] = text.split(":").map(Number);
  return ((hours ?? 0) * 60 + (minutes ?? 0)) * MINUTE_MS;
}

/** How far a zone is ahead of UTC at a moment, in ms; null for a zone that the browser does not know. */
function offsetIn(zone: string): ((ms: number) => number) | null {
  try {
    const civil = new Intl.DateTimeFormat("en-GB", { timeZone: zone, ...PARTS });
    return (ms) => civilMs(civil, ms) - Math.floor(ms / 1000) * 1000;
  } catch {
    return null;
  }
}

const PARTS = {
  year: "numeric",
  month: "numeric",
  day: "numeric",
  hour: "numeric",
  minute: "numeric",
  second: "numeric",
  hourCycle: "h23",
} as const;

/** The civil time of a moment, as if it were UTC, to the whole second. */
function civilMs(format: Intl.DateTimeFormat, ms: number): number {
  const parts = new Map(format.formatToParts(ms).map(({ type, value }) => [type, Number(value)]));
  const part = (name: Intl.DateTimeFormatPartTypes) => parts.get(name) ?? 0;
  return Date.UTC(part("year"), part("month") - 1, part("day"), part("hour"), part("minute"), part("second"));
}
