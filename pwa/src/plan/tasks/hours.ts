/**
 * The hours of a planning problem: when hands work, and where they differ, whose these are. Minute 0 is now.
 *
 * Twin of plan/tasks/hours.py.
 */
import { MINUTE_MS } from "../../durations.ts";
import type { Hand, Window } from "../../wire.gen.ts";
import { without } from "../model/hands.ts";
import { hoursOf } from "../model/hours.ts";

/** A stretch [start, end) of working hours, server time in ms. */
export type Stretch = readonly [start: number, end: number];

/** Gives working hours from now on until they hold so many open minutes. */
export type Calendar = (minutes: number) => readonly Stretch[];

/** Somebody who works here. unable: stations that they may not use. hours: when they are there. */
export type Worker = { readonly name: string; readonly unable: readonly string[]; readonly hours: Calendar };

/** Working hours that hold so many open minutes. now: server time in ms. */
export function windowsOf(calendar: Calendar, minutes: number, now: number): readonly Window[] {
  return calendar(minutes)
    .map((stretch) => windowOf(stretch, now))
    .filter(({ start, end }) => end > start);
}

/** A stretch of hours as a window in whole minutes from now; what is past is cut away. */
function windowOf([start, end]: Stretch, now: number): Window {
  return { start: Math.max(0, Math.ceil((start - now) / MINUTE_MS)), end: Math.floor((end - now) / MINUTE_MS) };
}

/** When anybody is there, and the workers as hands. Each is there for so many minutes. now: server time in ms. */
export function crewHours(
  workers: readonly Worker[],
  minutes: number,
  now: number,
): { readonly windows: readonly Window[]; readonly crew: readonly Hand[] } {
  const own = workers.map(({ hours }) => windowsOf(hours, minutes, now));
  const { opens, closes } = hoursOf(own.flat(), 0);
  const windows = opens.map((start, k) => ({ start, end: closes[k] as number }));
  const crew = workers.map(({ name, unable }, n) => ({ name, unable, away: without(windows, own[n] ?? []) }));
  return { windows, crew };
}
