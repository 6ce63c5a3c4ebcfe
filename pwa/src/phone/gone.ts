/** How long work has been in hand: a night, a meal or a day off in between is no work. Twin of planner/gone.py. */
import { MINUTE_MS } from "../durations.ts";
import type { Stretch } from "../plan/tasks/hours.ts";

/** Gives working hours from a moment in ms on, until they hold so many open minutes. */
type HoursFrom = (since: number, minutes: number) => readonly Stretch[];

/** Minutes of the shop's hours between two moments in ms, no more than about `most`. */
export function openMinutesGone(hours: HoursFrom, now: number, since: number, most: number): number {
  const gone = hours(since, most).map(([start, end]) => Math.max(0, Math.min(end, now) - Math.max(start, since)));
  return Math.floor(gone.reduce((sum, ms) => sum + ms, 0) / MINUTE_MS);
}
