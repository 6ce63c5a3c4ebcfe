/** A forecast in words, no finer than it is: the hour today, half a day this week, a date beyond. */
import { DAY_MS, MINUTE_MS } from "../../durations.ts";
import { dayMonth, isSameDay, timeOfDay, weekdayOf, yearOf } from "../../moments.ts";
import { DONE_BY, KEPT } from "../../tables.gen.ts";
import type { Forecast, PresentedPlan } from "../../wire.gen.ts";
import { begun, counted } from "./names.ts";

const QUARTER_MS = 15 * MINUTE_MS;

/** The time of day up to which it is morning, then afternoon. */
const NOON = "12:00";
const EVENING = "17:00";

/** When a build is done about half the time, in ms; as planned, in a plan kept from before that was told. */
export function likelyOf({ likely, finish }: Forecast): number {
  return likely ?? finish;
}

/** When all builds are likely done, in ms. */
export function allLikelyDone({ forecasts, finish }: PresentedPlan): number {
  return Math.max(...(forecasts.length ? forecasts.map(likelyOf) : [finish]));
}

/** "Likely Tue morning" or, where that is as good as certain, "Surely by Tue morning". */
export function headline(forecast: Forecast, now: number): string {
  const [likely, latest] = [roughly(likelyOf(forecast), now), roughly(forecast.latest, now)];
  return likely === latest ? begun(`${DONE_BY[basis(forecast)]} ${latest}`) : `Likely ${likely}`;
}

/** "Surely by Thu. If all goes as planned, Mon.", as far as the headline does not say it. */
export function range(forecast: Forecast, now: number): string {
  const [likely, latest] = [roughly(likelyOf(forecast), now), roughly(forecast.latest, now)];
  const planned = roughly(forecast.finish, now);
  return [
    likely === latest ? "" : `${begun(DONE_BY[basis(forecast)])} ${latest}.`,
    planned === likely ? "" : `If all goes as planned, ${planned}.`,
  ]
    .filter(Boolean)
    .join(" ");
}

/** What a forecast rests on. */
export function restsOn({ timed }: Forecast): string {
  return timed ? `From ${counted(timed, "timed operation")}.` : "A rough guess: nothing has been timed yet.";
}

/** "Promised for Fri: likely kept, 8 of 10."; "" without a promise. */
export function promised(forecast: Forecast, now: number): string {
  const { due, odds } = forecast;
  if (due === null || typeof odds !== "number") return "";
  const kept = KEPT[basis(forecast)].find(([least]) => odds >= least)?.[1] ?? "";
  const count = odds > 0 && odds < 10 ? `, ${odds} of 10` : "";
  return `Promised for ${isSameDay(due, now) ? "today" : dayWords(due, now)}: ${kept}${count}.`;
}

/** Whether work was timed in this shop. */
function basis({ timed }: Forecast): "timed" | "guessed" {
  return timed ? "timed" : "guessed";
}

/** A moment as exactly as anybody can know it: "16:15" today, "Tue morning" this week, else "Tue 15 Dec". */
export function roughly(ms: number, now: number): string {
  if (isSameDay(ms, now)) return timeOfDay(Math.ceil(ms / QUARTER_MS) * QUARTER_MS);
  return isNear(ms, now) ? `${dayWords(ms, now)} ${partOfDay(ms)}` : dayWords(ms, now);
}

function dayWords(ms: number, now: number): string {
  if (isNear(ms, now)) return weekdayOf(ms);
  const year = yearOf(ms) === yearOf(now) ? "" : ` ${yearOf(ms)}`;
  return `${weekdayOf(ms)} ${dayMonth(ms)}${year}`;
}

/** Whether the weekday says which day it is. */
function isNear(ms: number, now: number): boolean {
  return Math.abs(ms - now) < 6 * DAY_MS;
}

function partOfDay(ms: number): string {
  const time = timeOfDay(ms);
  return time <= NOON ? "morning" : time <= EVENING ? "afternoon" : "evening";
}
