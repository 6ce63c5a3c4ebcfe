/** Breaks: what lies between the working periods of one day. Settings keep only the periods. */
import { Refused } from "../findings.ts";
import { hoursText, type Spans, spansOf } from "./shop_hours.ts";

const DAY = 24 * 60;

/** A day's periods as its first opening to its last closing, and the breaks between, each as a person writes it. */
export function withoutBreaks(spans: Spans): { readonly hours: string; readonly breaks: string } {
  const [first, last] = [spans[0], spans.at(-1)];
  if (!first || !last) return { hours: "", breaks: "" };
  const gaps = spans.slice(1).map(([start], n): [number, number] => [spans[n]?.[1] ?? start, start]);
  return { hours: hoursText([[first[0], last[1]]]), breaks: hoursText(gaps.filter(([from, to]) => from < to)) };
}

/**
 * The day's periods, breaks taken out. hours: one period or several; breaks: "" for none.
 *
 * Throws Refused when either is invalid, or a break is not inside one period.
 */
export function withBreaks(hours: string, breaks: string): Spans {
  const written = breaks.split(",").flatMap(spansOf); // each by itself: after midnight comes later
  return written.reduce((open: Spans, [from, to]) => {
    const late = from < (open[0]?.[0] ?? 0) ? DAY : 0; // of an evening over midnight
    const [start, end] = [from + late, to + late];
    const inside = open.find((span) => span[0] < start && end < span[1]);
    if (!inside) {
      throw new Refused(`The break ${hoursText([[from, to]])} is not inside the hours.`, "Write it like 12:00-12:30.");
    }
    return open.flatMap((span) =>
      span === inside
        ? ([
            [span[0], start],
            [end, span[1]],
          ] as Spans)
        : [span],
    );
  }, spansOf(hours));
}
