/** How moments and spans of time read: 24 hours, in the phone's own time zone. */
import { DAY_MS, HOUR_MS, LATEST_MS, MINUTE_MS } from "./durations.ts";

const TIME = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const WEEKDAY = new Intl.DateTimeFormat("en-GB", { weekday: "short" });
const DATE = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short" });
const DATE_AND_YEAR = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric" });
const DAY_NAME = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long" });
const LONG_DATE = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long", year: "numeric" });

/** A moment that every calendar can tell: whatever a wrong clock has stamped can be shown. */
function bounded(ms: number): number {
  return Math.min(Math.max(ms, 0), LATEST_MS);
}

/** A moment in ms for a machine: "2026-11-25T14:10:00.000Z". */
export function iso(ms: number): string {
  return new Date(bounded(ms)).toISOString();
}

/** A moment in ms: "14:10"; with the weekday within a week of `now`, with the date beyond, and the year where it is another. */
export function clockTime(ms: number, now: number): string {
  const time = TIME.format(bounded(ms));
  if (isSameDay(ms, now)) return time;
  if (Math.abs(ms - now) < 6 * DAY_MS) return `${WEEKDAY.format(bounded(ms))} ${time}`;
  return `${dateSeenFrom(ms, now)} ${time}`;
}

function dateSeenFrom(ms: number, now: number): string {
  return (isSameYear(ms, now) ? DATE : DATE_AND_YEAR).format(bounded(ms));
}

/** "Tue", of a moment in ms. */
export function weekdayOf(ms: number): string {
  return WEEKDAY.format(bounded(ms));
}

/** "25 Nov", of a moment in ms. */
export function dayMonth(ms: number): string {
  return DATE.format(bounded(ms));
}

/** The year of a moment in ms. */
export function yearOf(ms: number): number {
  return new Date(bounded(ms)).getFullYear();
}

function isSameYear(one: number, other: number): boolean {
  return yearOf(one) === yearOf(other);
}

/** Whether two moments in ms are of the same day. */
export function isSameDay(one: number, other: number): boolean {
  return LONG_DATE.format(bounded(one)) === LONG_DATE.format(bounded(other));
}

/** "14:10", of a moment in ms. */
export function timeOfDay(ms: number): string {
  return TIME.format(bounded(ms));
}

/** "25 Nov 14:10", of a moment in ms. */
export function dayAndTime(ms: number): string {
  return `${DATE.format(bounded(ms))} ${TIME.format(bounded(ms))}`;
}

/** "Wednesday 25 November", of a moment in ms; with the year where it is not that of `now`. */
export function dayName(ms: number, now: number): string {
  return (isSameYear(ms, now) ? DAY_NAME : LONG_DATE).format(bounded(ms)).replace(",", "");
}

/** "Wednesday 25 November 2026", with the commas of British English. */
export function longDate(ms: number): string {
  return LONG_DATE.format(bounded(ms));
}

/** How long so many ms are, in words: "40 s", "12 min", "2 h 5 min", "3 d 4 h". */
export function span(ms: number): string {
  if (ms < MINUTE_MS) return `${Math.floor(ms / 1000)} s`;
  if (ms < HOUR_MS) return `${Math.floor(ms / MINUTE_MS)} min`;
  return ms < 2 * DAY_MS ? twoUnits(ms, HOUR_MS, "h", MINUTE_MS, "min") : twoUnits(ms, DAY_MS, "d", HOUR_MS, "h");
}

/** "just now", "12 min ago": so many ms before now. */
export function ago(ms: number): string {
  return ms < MINUTE_MS ? "just now" : `${span(ms)} ago`;
}

/** So many ms in large figures: "7:05", "1:05:10" below ten hours, then "23 h 12 min". Counts whole seconds up. */
export function digits(ms: number): string {
  const seconds = Math.ceil(ms / 1000);
  if (seconds >= 36_000) return span(Math.ceil(ms / MINUTE_MS) * MINUTE_MS);
  const [h, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return h ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

function twoUnits(ms: number, large: number, largeName: string, small: number, smallName: string): string {
  const rest = Math.floor((ms % large) / small);
  return `${Math.floor(ms / large)} ${largeName}${rest ? ` ${rest} ${smallName}` : ""}`;
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}
