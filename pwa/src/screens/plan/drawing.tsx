import "./drawing.css";
import { useId } from "preact/hooks";
import { now } from "../../live/state.ts";
import { dayName, timeOfDay } from "../../moments.ts";
import { Bands } from "./bands.tsx";
import { JobBlock } from "./block.tsx";
import { type Columns, columnsOf, headOf } from "./columns.ts";
import { type Block, beginOf, type Day } from "./days.ts";
import { Patterns } from "./legend.tsx";
import { downTo } from "./stretches.ts";
import { Tracks } from "./tracks.tsx";

/** Above the first job, whose own time stands right below. */
const ROOM_FOR_NOW = 20;

type DrawingProps = { readonly day: Day; readonly width: number; readonly onPaper?: boolean };

/**
 * A day, downwards: times, what the hands do, and beside it what each station does and which clamps are out.
 *
 * width: px. The head is drawn twice: as a part of the drawing, and over it so that it stays in sight.
 */
export function DayDrawing({ day, width, onPaper = false }: DrawingProps) {
  const marks = useId();
  const columns = columnsOf(day, width);
  const height = columns.head + ROOM_FOR_NOW + downTo(day.stretches, day.to);
  return (
    <>
      <div class="day-heading screen-only" style={{ height: `${columns.head}px`, marginBottom: `${-columns.head}px` }}>
        <ColumnHeads columns={columns} day={day} />
      </div>
      <svg
        class="day-drawing"
        viewBox={`0 0 ${width} ${height}`}
        width={width}
        height={height}
        aria-label={`What is done when on ${dayName(day.from, now.value)}`}
      >
        <Patterns id={marks} />
        <ColumnHeads columns={columns} day={day} />
        <g transform={`translate(0 ${columns.head + ROOM_FOR_NOW})`}>
          <Bands day={day} columns={columns} />
          <Tracks day={day} columns={columns} marks={marks} />
          {day.blocks.map((block) => (
            <JobBlock
              key={keyOf(block)}
              block={block}
              day={day}
              hands={columns.hands}
              marks={marks}
              onPaper={onPaper}
            />
          ))}
          <NowLine day={day} width={width} />
        </g>
      </svg>
    </>
  );
}

function keyOf(block: Block): string {
  return `${block.step.build} ${block.step.operation} ${block.step.act} ${beginOf(block)}`;
}

/** Where the day stands. */
function NowLine({ day, width }: { day: Day; width: number }) {
  const ms = now.value;
  if (ms < day.from || ms >= day.to) return null;
  const y = downTo(day.stretches, ms);
  return (
    <svg class="now-line" aria-hidden="true" focusable="false" overflow="visible">
      <line x1="0" x2={width} y1={y} y2={y} />
      <rect x="0" y={y - 18} width="44" height="18" rx="3" />
      <text x="22" y={y - 4}>
        {timeOfDay(ms)}
      </text>
    </svg>
  );
}

/** What the columns are: whose, where the shop has named its people. The tracks' names are written upwards, as on a rack. */
function ColumnHeads({ columns, day }: { columns: Columns; day: Day }) {
  return (
    <svg class="day-head" aria-hidden="true" focusable="false" width={columns.width} height={columns.head}>
      {(day.people.length ? day.people : ["Your hands"]).map((name, lane, lanes) => (
        <text key={name} x={columns.hands.x + 2 + (columns.hands.width / lanes.length) * lane} y={columns.head - 8}>
          {name}
        </text>
      ))}
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
