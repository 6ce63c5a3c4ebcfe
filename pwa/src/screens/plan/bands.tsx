import { MINUTE_MS } from "../../durations.ts";
import { clockTime, span } from "../../moments.ts";
import type { Columns } from "./columns.ts";
import type { Day } from "./days.ts";
import type { Stretch } from "./stretches.ts";

type BandsProps = { readonly day: Day; readonly columns: Columns };

const WORTH_SAYING = 20 * MINUTE_MS;

/** Closed hours as a dark band across everything, and how long hands are free in between. */
export function Bands({ day, columns }: BandsProps) {
  return (
    <svg aria-hidden="true" focusable="false" overflow="visible">
      {day.stretches.map((stretch) => (
        <Band key={stretch.from} stretch={stretch} day={day} columns={columns} />
      ))}
    </svg>
  );
}

function Band({ stretch, day, columns }: { stretch: Stretch } & BandsProps) {
  const words = wordsOf(stretch, day);
  const middle = stretch.top + stretch.height / 2 + 5;
  return (
    <>
      {stretch.what === "closed" && (
        <rect class="closed" x="0" y={stretch.top} width={columns.width} height={stretch.height} />
      )}
      {words && (
        <text class="band-words" x={columns.hands.x + 2} y={middle}>
          {words}
        </text>
      )}
    </>
  );
}

function wordsOf({ what, from, to, height }: Stretch, day: Day): string {
  if (what === "closed" && to === day.to) return closing(day.reopens, from);
  if (what === "closed") return height < 18 ? "" : "Closed";
  if (what === "free" && to - from >= WORTH_SAYING && height >= 18) return `${span(to - from)} free`;
  return "";
}

function closing(reopens: number | null, from: number): string {
  return reopens === null ? "Closed" : `Closed until ${clockTime(reopens, from)}`;
}
