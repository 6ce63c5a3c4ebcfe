/** Dates in words, without a time. */

/** "Thu 24 Dec to Fri 1 Jan 2027": the year where it is not today's. All as settings write them, such as 2026-12-24. */
export function datesText(from: string, to: string, today: string): string {
  return from === to ? dateText(from, today) : `${dateText(from, today)} to ${dateText(to, today)}`;
}

function dateText(date: string, today: string): string {
  const [year = 0, month = 1, day = 1] = date.split("-").map(Number);
  const there = new Date(year, month - 1, day);
  const part = (options: Intl.DateTimeFormatOptions) => there.toLocaleDateString("en-GB", options);
  const words = `${part({ weekday: "short" })} ${day} ${part({ month: "short" })}`;
  return date.slice(0, 4) === today.slice(0, 4) ? words : `${words} ${year}`;
}
