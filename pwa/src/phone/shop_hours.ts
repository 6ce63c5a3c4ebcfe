import { isQuiet, type Quiet } from "../alerts/quiet.ts";

/** The shop's hours as settings keep them: when work ends today, and whether the shop is dark. In the phone's time zone. */

/** The weekdays as settings name them. */
export const DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"] as const;
/** A weekday as settings name it. */
export type Day = (typeof DAYS)[number];

const TIME = "([01]\\d|2[0-3]):([0-5]\\d)";
const SPAN = new RegExp(`^${TIME}-${TIME}$`);

/** Hours of a day in the form `08:00-12:00, 12:30-17:00`; null when the text is not that, from morning to evening. */
export function hoursOf(text: string): string | null {
  const spans = text
    .replaceAll(/\s/g, "")
    .replaceAll("–", "-")
    .split(",")
    .filter((span) => span !== "");
  const edges = spans.flatMap((span) => span.split("-"));
  const inOrder = edges.every(
    (edge, n) => n === 0 || (edges[n - 1] ?? "") < edge || (n % 2 === 0 && edges[n - 1] === edge),
  );
  return spans.every((span) => SPAN.test(span)) && inOrder ? spans.join(", ") : null;
}

/** The hours of a working day and the days they are for, from the setting `hours`. */
export function workingDays(hours: unknown): { readonly text: string; readonly days: readonly Day[] } {
  if (typeof hours === "string") return { text: hours, days: DAYS };
  const byDay = (hours ?? {}) as Readonly<Partial<Record<Day, unknown>>>;
  const days = DAYS.filter((day) => typeof byDay[day] === "string" && byDay[day]);
  return { text: String(byDay[days[0] ?? "mon"] ?? ""), days };
}

/**
 * When work ends today, server time in ms; null when the hours are not set, or today is no working day.
 *
 * settings: the shop's; `hours` is one text for every day, or by weekday: {"mon": "08:00-12:00, 12:30-17:00"}.
 */
export function dayEnds(settings: Readonly<Record<string, unknown>>, now: number): number | null {
  const today = new Date(now);
  const { hours } = settings;
  const text = typeof hours === "object" && hours ? (hours as Record<string, unknown>)[weekdayOf(today)] : hours;
  const tidied = typeof text === "string" ? hoursOf(text) : null;
  const found = tidied ? /([0-9]{2}):([0-9]{2})$/.exec(tidied) : null;
  return found ? today.setHours(Number(found[1]), Number(found[2]), 0, 0) : null;
}

/**
 * Whether the shop is dark: quiet hours run, or it is closed by its hours.
 *
 * hours: the shop's setting, one text for every day or one by weekday; while it is not set, quiet hours alone decide.
 * now: server time in ms.
 */
export function isNight(hours: unknown, quiet: Quiet | null, now: number): boolean {
  if (quiet && isQuiet(quiet, now)) return true;
  const date = new Date(now);
  const byDay = typeof hours === "object" && hours !== null;
  const text = byDay ? ((hours as Record<string, unknown>)[weekdayOf(date)] ?? "") : hours;
  if (typeof text !== "string" || (!byDay && text === "")) return false;
  const edges = text.match(/\d\d:\d\d/g)?.sort() ?? [];
  const [opens = "24:00", closes = "00:00"] = [edges[0], edges.at(-1)];
  const time = `${two(date.getHours())}:${two(date.getMinutes())}`;
  return time < opens || time >= closes;
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}

/** The weekday as settings name it. */
function weekdayOf(date: Date): Day {
  return DAYS[(date.getDay() + 6) % 7] ?? "mon";
}
