/** Whether the shop is dark: quiet hours run, or it is closed by its hours, in the phone's own time zone. */
import { isQuiet, type Quiet } from "../alerts/quiet.ts";

const DAYS = ["sun", "mon", "tue", "wed", "thu", "fri", "sat"];

/** hours: the shop's setting, one text for every day or one by weekday; where it tells nothing, quiet hours alone do. */
export function isNight(hours: unknown, quiet: Quiet | null, now: number): boolean {
  if (quiet && isQuiet(quiet, now)) return true;
  const date = new Date(now);
  const byDay = typeof hours === "object" && hours !== null;
  const text = byDay ? ((hours as Record<string, unknown>)[DAYS[date.getDay()] ?? ""] ?? "") : hours;
  if (typeof text !== "string" || (!byDay && text === "")) return false;
  const edges = text.match(/\d\d:\d\d/g)?.sort() ?? [];
  const [opens = "24:00", closes = "00:00"] = [edges[0], edges.at(-1)];
  const time = `${two(date.getHours())}:${two(date.getMinutes())}`;
  return time < opens || time >= closes;
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}
