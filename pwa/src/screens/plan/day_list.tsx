import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { beginOf, type Day } from "./days.ts";
import { details, outFromBefore, outOvernight, pathTo, times, whatIs } from "./sentence.ts";

/** The same day in words, in the order in which the hands take it up. */
export function DayList({ day }: { day: Day }) {
  return (
    <ol class="rows day-list">
      {outFromBefore(day).map((words) => (
        <Line key={words} words={words} />
      ))}
      {day.blocks.map((block) => (
        <li key={`${block.step.build} ${block.step.operation} ${beginOf(block)}`} class="row">
          <Link to={pathTo(block)} class="row-words">
            <span>
              <time>{times(block)}</time>
              {whatIs(block.step, block.more)}
              <small>{[...details(block, day), block.step.reason].join(". ")}</small>
            </span>
            <Icon name="onward" />
          </Link>
        </li>
      ))}
      {outOvernight(day).map((words) => (
        <Line key={words} words={words} />
      ))}
    </ol>
  );
}

function Line({ words }: { words: string }) {
  return (
    <li class="row">
      <p class="row-words">
        <Icon name="clamp" />
        <span>{words}</span>
      </p>
    </li>
  );
}
