import { isQuiet, type Quiet } from "../alerts/quiet.ts";
import { MINUTE_MS } from "../durations.ts";
import { Refused } from "../findings.ts";
import type { Stretch } from "../plan/tasks/hours.ts";
import { type DaysOff, daysOffIn, isOff } from "./days_off.ts";

/**
 * The shop's hours as settings keep them: when it is open from now on, when work ends today, and whether the shop is dark.
 *
 * In the phone's time zone. Twin of planner/shop_hours.py, as far as that goes.
 */

/** The weekdays as settings name them. */
export const DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"] as const;
/** A weekday as settings name it. */
export type Day = (typeof DAYS)[number];

/** One day's working periods, in minutes after midnight; one that goes over midnight ends after DAY. */
export type Spans = readonly (readonly [start: number, end: number])[];

/** By weekday from Monday on, the working periods. On some day there are some. */
export type Week = readonly Spans[];

type Settings = Readonly<Record<string, unknown>>;

const SPAN = /^([01]\d|2[0-3]):([0-5]\d)-([01]\d|2[0-3]):([0-5]\d)$/;
const DAY = 24 * 60;
const LONGEST_NIGHT = 12 * 60;
/** Of a shop that has set none, from Monday to Friday. Common practice, no source. */
const USUAL: Spans = [[8 * 60, 17 * 60]];
const NEXT_STEP = "Write them like 08:00-17:00, or 08:00-12:00, 12:30-17:00; over midnight like 18:00-01:00.";

/** One day's working periods from a text, "" for a day off. Throws Refused when it is invalid or not in order. */
export function spansOf(text: string): Spans {
  const parts = text.replaceAll(/\s/g, "").replaceAll("–", "-").split(",").filter(Boolean);
  const spans = parts.flatMap((part): [number, number][] => {
    const [, ...figures] = SPAN.exec(part) ?? [];
    const [a = 0, b = 0, c = 0, d = 0] = figures.map(Number);
    return figures.length ? [[60 * a + b, 60 * c + d]] : [];
  });
  const last = spans.at(-1);
  if (last && last[1] < last[0] && last[1] + DAY - last[0] <= LONGEST_NIGHT) last[1] += DAY;
  const inOrder = spans.every(([start, end], n) => (spans[n - 1]?.[1] ?? 0) <= start && start < end);
  if (spans.length < parts.length || !inOrder) {
    throw new Refused(`“${[...text].slice(0, 40).join("")}” are not hours of one day in their order.`, NEXT_STEP);
  }
  return spans;
}

/** Hours of a day in the form `08:00-12:00, 12:30-17:00`; null when the text is not that. */
export function hoursOf(text: string): string | null {
  try {
    return hoursText(spansOf(text));
  } catch (error) {
    if (error instanceof Refused) return null;
    throw error;
  }
}

/** Working periods as a person writes them. */
export function hoursText(spans: Spans): string {
  return spans.map(([start, end]) => `${timeText(start)}-${timeText(end)}`).join(", ");
}

/** The setting `hours` as a week; from eight to five on weekdays where it is not set or cannot be read. */
export function weekOf(hours: unknown): Week {
  return weekIn(hours) ?? DAYS.map((_, n) => (n < 5 ? USUAL : []));
}

/** Hours, one text for every day or a text by weekday, as a week; null where they are none. */
export function weekIn(hours: unknown): Week | null {
  const byDay = typeof hours === "string" ? Object.fromEntries(DAYS.map((day) => [day, hours])) : (hours ?? {});
  if (typeof byDay !== "object" || Object.keys(byDay).some((name) => !DAYS.some((day) => day === name))) return null;
  const texts = DAYS.map((day) => hoursOf(String((byDay as Settings)[day] || "")));
  if (texts.includes(null) || !texts.some(Boolean)) return null;
  const week = texts.map((text) => spansOf(text ?? ""));
  const isApart = (spans: Spans, n: number) => {
    const [first] = week[(n + 1) % week.length] ?? [];
    return (spans.at(-1)?.[1] ?? 0) <= (first?.[0] ?? DAY) + DAY;
  };
  return week.every(isApart) ? week : null;
}

/**
 * Working periods from `now` on, in ms, until they hold so many minutes. The first one contains `now` or follows.
 *
 * closed: dates on which none begins; what began the evening before goes on.
 */
export function stretches(
  week: Week,
  now: number,
  minutes: number,
  closed: readonly DaysOff[] = [],
): readonly Stretch[] {
  const found: Stretch[] = [];
  const today = new Date(now);
  let left = minutes;
  for (let days = -1; left > 0; days++) {
    const noon = new Date(today.getFullYear(), today.getMonth(), today.getDate() + days, 12); // there is one each day
    if (isOff(closed, noon)) continue;
    for (const [opens, closes] of week[(noon.getDay() + 6) % 7] ?? []) {
      const [start, end] = [atMinutes(noon, opens), atMinutes(noon, closes)];
      if (end <= now || end <= start) continue;
      found.push([start, end]);
      left -= Math.floor((end - Math.max(start, now)) / MINUTE_MS);
    }
  }
  return found;
}

/** The hours of a working day and the days they are for, from the setting `hours`. */
export function workingDays(hours: unknown): { readonly text: string; readonly days: readonly Day[] } {
  if (typeof hours === "string") return { text: hours, days: DAYS };
  const byDay = (hours ?? {}) as Readonly<Partial<Record<Day, unknown>>>;
  const days = DAYS.filter((day) => typeof byDay[day] === "string" && byDay[day]);
  return { text: String(byDay[days[0] ?? "mon"] ?? ""), days };
}

/**
 * When work ends today, server time in ms; null when the hours are not set, or nobody works today. After midnight, the
 * evening before is today until it ends.
 *
 * settings: the shop's; `hours` is one text for every day, or by weekday: {"mon": "08:00-12:00, 12:30-17:00"}.
 */
export function dayEnds(settings: Settings, now: number): number | null {
  const [evening, today] = [-1, 0].map((days) => shift(settings, now, days));
  if (evening && now < evening.to) return evening.to;
  return today?.to ?? null;
}

/**
 * Whether the shop is dark: quiet hours run, or it is closed by its hours or by the date. Breaks are day.
 *
 * settings: the shop's; while its hours are not set, only quiet hours and closed dates are night. now: server time in ms.
 */
export function isNight(settings: Settings, quiet: Quiet | null, now: number): boolean {
  if (quiet && isQuiet(quiet, now)) return true;
  const { hours } = settings;
  const isSet = typeof hours === "string" ? Boolean(hoursOf(hours)) : typeof hours === "object" && hours !== null;
  if (!isSet) return isOff(daysOffIn(settings.closed), new Date(now));
  return ![-1, 0].some((days) => {
    const found = shift(settings, now, days);
    return found && found.from <= now && now < found.to;
  });
}

/** From the first opening to the last closing of a day, so many days from now, in ms; null for a day off. */
function shift(settings: Settings, now: number, days: number): { readonly from: number; readonly to: number } | null {
  const date = new Date(now);
  date.setDate(date.getDate() + days);
  const { hours, closed } = settings;
  const byDay = typeof hours === "object" && hours !== null;
  const text = byDay ? (hours as Record<string, unknown>)[weekdayOf(date)] : hours;
  const known = typeof text === "string" ? hoursOf(text) : null;
  if (!known || isOff(daysOffIn(closed), date)) return null;
  const spans = spansOf(known);
  const [from = 0, to = 0] = [spans[0]?.[0], spans.at(-1)?.[1]];
  return { from: atMinutes(date, from), to: atMinutes(date, to) };
}

/** A time by the wall clock, in minutes after that day's midnight; a night in which the clocks change counts as it is. */
function atMinutes(date: Date, minutes: number): number {
  return new Date(date.getFullYear(), date.getMonth(), date.getDate(), 0, minutes).getTime();
}

function timeText(minutes: number): string {
  const [hour, minute] = [Math.floor((minutes % DAY) / 60), minutes % 60];
  return `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
}

/** The weekday as settings name it. */
function weekdayOf(date: Date): Day {
  return DAYS[(date.getDay() + 6) % 7] ?? "mon";
}
