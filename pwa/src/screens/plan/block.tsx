import { travel } from "../../live/navigation.ts";
import { timeOfDay } from "../../moments.ts";
import type { Columns } from "./columns.ts";
import { type Block, beginOf, type Day } from "./days.ts";
import { actOf, details, pathTo, piecesOf } from "./sentence.ts";
import { downTo } from "./stretches.ts";

type BlockProps = {
  readonly block: Block;
  readonly day: Day;
  readonly hands: Columns["hands"];
  readonly marks: string;
  readonly onPaper: boolean;
};

const ROOM_FOR_REASON = 84;
const TIGHT = 160;

/** One job for the hands, setting up drawn before it; a tap opens its operation. */
export function JobBlock({ block, day, hands, marks, onPaper }: BlockProps) {
  const { setting } = block;
  const top = downTo(day.stretches, beginOf(block));
  const work = downTo(day.stretches, block.from);
  const end = downTo(day.stretches, block.to) - 3;
  const lane = { x: hands.x + (hands.width / block.lanes) * block.lane, width: hands.width / block.lanes };
  const path = pathTo(block);
  return (
    <a
      class="job"
      href={path}
      onClick={(event) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        travel(path);
      }}
    >
      <rect class="job-reach" x="0" y={top} width={lane.x + lane.width} height={end - top} />
      <text class="job-time" x="0" y={top + 15}>
        {timeOfDay(beginOf(block))}
      </text>
      {setting && (
        <>
          <rect
            class="job-setting"
            x={lane.x}
            y={top}
            width={lane.width}
            height={work - top}
            fill={`url(#${marks}-setting)`}
          />
          <text class="job-setting-words" x={lane.x + 8} y={(top + work) / 2 + 4}>
            Set up
          </text>
        </>
      )}
      <JobBody block={block} x={lane.x} y={work} width={lane.width} height={end - work} />
      <foreignObject x={lane.x} y={work} width={lane.width} height={end - work}>
        <JobWords
          block={block}
          day={day}
          tight={lane.width < TIGHT}
          reasoned={onPaper || end - work >= ROOM_FOR_REASON}
        />
      </foreignObject>
    </a>
  );
}

type WordsProps = {
  readonly block: Block;
  readonly day: Day;
  readonly tight: boolean;
  readonly reasoned: boolean;
};

/** What it is, and why now where there is room; a screen reader hears all of it. */
function JobWords({ block, day, tight, reasoned }: WordsProps) {
  const { step } = block;
  return (
    <p class={tight ? "job-words tight" : "job-words"}>
      <span class="unseen">to {timeOfDay(block.to)}: </span>
      <strong>
        {piecesOf(block).map((piece) => (
          <span key={piece} class="piece">
            <span class="unseen">Piece </span>
            {piece}
          </span>
        ))}
        {actOf(step)}
      </strong>
      <span class="unseen">. {details(block, day).map((words) => `${words}. `)}</span>
      <span class={reasoned ? "why" : "unseen"}>{step.reason}</span>
    </p>
  );
}

type BodyProps = {
  readonly block: Block;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** A job's outline, torn where it was, or will be, left at closing time. */
function JobBody({ block, x, y, width, height }: BodyProps) {
  const look = `job-body ${block.step.act}`;
  const goesBack = block.from > block.step.start;
  if (!goesBack && !block.goesOn) return <rect class={look} x={x} y={y} width={width} height={height} rx="5" />;
  const top = goesBack ? torn(width) : `h${width}`;
  const bottom = block.goesOn ? torn(-width) : `h${-width}`;
  return <path class={look} d={`M${x} ${y}${top}v${height}${bottom}z`} />;
}

const TOOTH = 6;

/** A ragged line, to the right or, with less than nothing, to the left. */
function torn(width: number): string {
  const teeth = Math.max(1, Math.floor(Math.abs(width) / (2 * TOOTH)));
  const step = width / (2 * teeth);
  return `l${step} ${-TOOTH}l${step} ${TOOTH}`.repeat(teeth);
}
