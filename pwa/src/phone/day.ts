/** When the hands stop today, by the shop's hours and the phone's own time zone. */

const DAYS = ["sun", "mon", "tue", "wed", "thu", "fri", "sat"];
const HOURS = /^[0-2][0-9]:[0-5][0-9]-([0-2][0-9]):([0-5][0-9])$/;

/**
 * The moment, server time in ms; null when nobody said, or today is no working day.
 *
 * settings: the shop's; `hours` is "08:00-17:00" for every day, or by weekday: {"mon": "08:00-17:00"}.
 */
export function dayEnds(settings: Readonly<Record<string, unknown>>, now: number): number | null {
  const today = new Date(now);
  const { hours } = settings;
  const text =
    typeof hours === "object" && hours ? (hours as Record<string, unknown>)[DAYS[today.getDay()] ?? ""] : hours;
  const found = typeof text === "string" ? HOURS.exec(text) : null;
  return found ? today.setHours(Number(found[1]), Number(found[2]), 0, 0) : null;
}
