/** Those who work here, as the shop's setting `people` keeps them. */
import type { Worker } from "../plan/tasks/hours.ts";
import { type DaysOff, daysOffIn } from "./days_off.ts";
import { stretches, type Week, weekIn } from "./shop_hours.ts";

/** unable: stations they may not use. hours: their own, by weekday; null for the shop's. away: the earliest first. */
export type Person = {
  readonly name: string;
  readonly unable: readonly string[];
  readonly hours: unknown;
  readonly away: readonly DaysOff[];
};

/** As many as the planner plans for. */
export const MOST_PEOPLE = 8;

/** Everybody of whom the setting has a name. */
export function peopleIn(kept: unknown): readonly Person[] {
  if (!Array.isArray(kept)) return [];
  return kept.flatMap((one): Person[] => {
    const { name, unable, hours, away } = (one ?? {}) as Record<string, unknown>;
    if (typeof name !== "string" || !name.trim()) return [];
    const stations = Array.isArray(unable) ? unable.filter((station) => typeof station === "string") : [];
    return [{ name: name.trim(), unable: stations, hours: hours ?? null, away: daysOffIn(away) }];
  });
}

/** The people as the planner wants them. week, closed: the shop's. now: server time in ms. */
export function workersOf(
  people: readonly Person[],
  week: Week,
  closed: readonly DaysOff[],
  now: number,
): readonly Worker[] {
  return people.map(({ name, unable, hours, away }) => {
    const own = (hours ? weekIn(hours) : null) ?? week;
    const off = [...closed, ...away];
    return { name, unable, hours: (minutes) => stretches(own, now, minutes, off) };
  });
}

const BETWEEN_NAMES = /[,;&\n]|\sand\s/;

/** The names in what somebody typed, each once: "Anna, Ben and Cleo" are three. */
export function namesIn(text: string): readonly string[] {
  const names = text.split(BETWEEN_NAMES).map((name) => name.trim());
  return [...new Set(names.filter(Boolean))];
}
