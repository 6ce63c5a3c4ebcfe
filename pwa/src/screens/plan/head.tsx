import { type Columns, headOf } from "./columns.ts";

/** What the columns are. The tracks' names are written upwards, as on a rack. */
export function Head({ columns }: { columns: Columns }) {
  return (
    <svg class="day-head" aria-hidden="true" focusable="false" width={columns.width} height={columns.head}>
      <text x={columns.hands.x + 2} y={columns.head - 8}>
        Your hands
      </text>
      {columns.tracks.map((track) => (
        <text
          key={`${track.of} ${track.name}`}
          transform={`translate(${track.x + columns.track / 2 + 4} ${columns.head - 8}) rotate(-90)`}
        >
          {headOf(track.name)}
        </text>
      ))}
    </svg>
  );
}
