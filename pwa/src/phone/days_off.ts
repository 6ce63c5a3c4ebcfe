/** Days off as settings keep them: dates on which the shop is closed, or somebody is away. */
import { DAY_MS } from "../durations.ts";

/** Dates from `from` to `to`, both included, such as 2026-12-24. name: why, "" where nobody said. */
export type DaysOff = { readonly from: string; readonly to: string; readonly name: string };

/** Nobody plans beyond a year without work; a longer one is a slip in the year. */
const LONGEST_MS = 366 * DAY_MS;

const DATE = /^\d{4}-\d\d-\d\d$/;

/** What can be read of the setting `closed`, or of somebody's `away`; the earliest first. */
export function daysOffIn(kept: unknown): readonly DaysOff[] {
  const all = Array.isArray(kept) ? kept.flatMap(oneOf) : [];
  return all.sort((a, b) => a.from.localeCompare(b.from));
}

function oneOf(kept: unknown): readonly DaysOff[] {
  const { from, to, name } = (kept ?? {}) as Record<string, unknown>;
  if (typeof from !== "string" || !DATE.test(from)) return [];
  const last = typeof to === "string" && DATE.test(to) ? to : from;
  const isSlip = last < from || Date.parse(last) - Date.parse(from) > LONGEST_MS;
  return isSlip ? [] : [{ from, to: last, name: typeof name === "string" ? name : "" }];
}

/** Whether the date, at this moment on this device, is one of the days off. */
export function isOff(off: readonly DaysOff[], date: Date): boolean {
  const day = dayText(date);
  return off.some(({ from, to }) => from <= day && day <= to);
}

/** The date on this device, such as 2026-12-24. */
export function dayText(date: Date): string {
  return `${String(date.getFullYear()).padStart(4, "0")}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}
