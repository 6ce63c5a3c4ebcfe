import type { Columns, Track } from "./columns.ts";
import type { Day, Held, Use } from "./days.ts";
import { downTo } from "./stretches.ts";

type TracksProps = { readonly day: Day; readonly columns: Columns; readonly marks: string };

/** A narrow track for each station in use and each kind of clamp that is out. What they show, the blocks' words say. */
export function Tracks({ day, columns, marks }: TracksProps) {
  const bottom = downTo(day.stretches, day.to);
  return (
    <svg aria-hidden="true" focusable="false" overflow="visible">
      {columns.tracks.map((track) => {
        const middle = track.x + columns.track / 2;
        return (
          <g key={`${track.of} ${track.name}`}>
            <line class="track" x1={middle} x2={middle} y1="-16" y2={bottom} />
            <TrackUse track={track} day={day} width={columns.track} marks={marks} />
          </g>
        );
      })}
    </svg>
  );
}

type TrackUseProps = { readonly track: Track; readonly day: Day; readonly width: number; readonly marks: string };

function TrackUse({ track, day, width, marks }: TrackUseProps) {
  const left = track.x + 2;
  if (track.of === "station")
    return (
      <>
        {day.stations.get(track.name)?.map((use) => (
          <StationUse key={`${use.what} ${use.from}`} use={use} day={day} x={left} width={width - 4} marks={marks} />
        ))}
      </>
    );
  return (
    <>
      {day.clamps.get(track.name)?.map((held) => (
        <ClampsOut key={held.from} held={held} day={day} x={left} width={width - 4} />
      ))}
    </>
  );
}

type Across = { readonly day: Day; readonly x: number; readonly width: number };

function StationUse({ use, day, x, width, marks }: { use: Use; marks: string } & Across) {
  const [top, end] = [downTo(day.stretches, use.from), downTo(day.stretches, use.to)];
  const inset = use.what === "work" ? 0 : 0.75;
  return (
    <rect
      class={`use ${use.what}`}
      x={x + inset}
      y={top + inset}
      width={width - inset * 2}
      height={Math.max(3, end - top - 2 - inset)}
      fill={use.what === "work" ? undefined : `url(#${marks}-${use.what})`}
    />
  );
}

const JAW = 5;

/** Drawn as a clamp stands: a bar between two jaws, and how many. A bar that runs out of the day has no jaw there. */
function ClampsOut({ held, day, x, width }: { held: Held } & Across) {
  const [top, end] = [downTo(day.stretches, held.from), downTo(day.stretches, held.to) - (held.given ? 2 : 0)];
  const middle = x + width / 2;
  return (
    <g class="clamps-out">
      <line x1={middle} x2={middle} y1={top} y2={end} />
      {held.taken && <rect x={x} y={top} width={width} height={JAW} rx="1" />}
      {held.given && <rect x={x} y={end - JAW} width={width} height={JAW} rx="1" />}
      {end - top > 28 && (
        <text x={middle} y={top + JAW + 17}>
          {held.count}
        </text>
      )}
    </g>
  );
}
