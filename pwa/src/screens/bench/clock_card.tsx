import "./clock_card.css";
import { calendarOf, madeEntry } from "../../alerts/calendar.ts";
import type { RunningClock } from "../../alerts/schedule.ts";
import { CLOCKS, clockRemark, isUrgent, wordsOf } from "../../bench/clock_kinds.ts";
import { moment } from "../../bench/clocks.ts";
import { HAPPENINGS } from "../../bench/happening_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { ClockRule, TimeLeft } from "../../controls/clock.tsx";
import { Icon } from "../../controls/icon.tsx";
import { HOUR_MS } from "../../durations.ts";
import { record } from "../../live/record.ts";
import { builds, now, quiet } from "../../live/state.ts";
import { clockTime, digits, iso } from "../../moments.ts";
import { openCalendarFile } from "../../phone/calendar_file.ts";
import { subjectsOf } from "../operation/steps.ts";
import { operationPath } from "../paths.ts";
import { airWarning, isTooCold, slowDrying } from "../words/air.ts";
import { buttonOf } from "../words/buttons.ts";
import { operationOf } from "../words/names.ts";
import { PieceTitle } from "../words/piece.tsx";

type RowProps = { readonly clock: RunningClock; readonly view: BuildView; readonly own?: boolean };
type CardProps = RowProps & { readonly grouped?: boolean };

/**
 * A running clock: what is left, what it means, when it is due.
 *
 * own: it stands on its operation's screen. grouped: under a heading that names its operation.
 */
export function ClockCard({ clock, view, own = false, grouped = false }: CardProps) {
  const words = wordsOf(clock.kind, operationOf(view.sheet, clock.operation));
  const due = moment(clock);
  const urgent = isUrgent(clock.kind);
  const warning = airWarning(clock) ?? slowDrying(clock, operationOf(view.sheet, clock.operation));
  const proves = !isTooCold(clock);
  return (
    <article class={`clock-card ${clock.phase}${urgent ? " urgent" : ""}`}>
      <p class="clock-name">
        <Icon name={clock.phase === "running" ? CLOCKS[clock.kind].icon : "bell"} />
        <strong>{words.name}</strong>
        {proves && <time dateTime={iso(due)}>{clockTime(due, now.value)}</time>}
      </p>
      {proves ? <Remaining clock={clock} due={due} large={urgent} /> : <p class="now-word">Too cold</p>}
      {proves && <ClockRule from={clock.started} to={due} now={now.value} words={words.name} />}
      <p class="meaning">{words[clock.phase]}</p>
      {warning && (
        <p class="look">
          <Icon name="thermometer" />
          <span>{warning}</span>
        </p>
      )}
      <ClockRemark clock={clock} />
      <EndClock clock={clock} view={view} own={own} />
      {own && proves && clock.phase === "running" && clock.least !== null && (
        <button type="button" class="way" onClick={() => void intoCalendar(view, clock)}>
          Into my calendar
        </button>
      )}
      {!own && !grouped && (
        <Link to={operationPath(view.id, clock.operation)} class="card-way">
          <PieceTitle view={view} id={clock.operation} />
          <Icon name="onward" />
        </Link>
      )}
    </article>
  );
}

/** What is left of a clock, or that it is due. */
function Remaining({ clock, due, large }: { clock: RunningClock; due: number; large: boolean }) {
  if (clock.phase === "due" && clock.most === null) return <p class="now-word">Now</p>;
  const left = Math.min(due - now.value, due - clock.started);
  return <TimeLeft ms={left} large={large} words={clock.phase === "due" ? "left" : "to go"} />;
}

/** What to know of the server's clock while this one ran; nothing where it was not set. */
function ClockRemark({ clock }: { readonly clock: RunningClock }) {
  const remark = clockRemark(clock);
  if (!remark) return null;
  return (
    <p class={clock.server_clock === "unsure" ? "look" : "soft"}>
      {clock.server_clock === "unsure" && <Icon name="clock" />}
      <span>{remark}</span>
    </p>
  );
}

/** A clock in one line: a long wait, or one that is over and asks for nothing. */
export function ClockRow({ clock, view, own = false }: RowProps) {
  const due = moment(clock);
  const words = wordsOf(clock.kind, operationOf(view.sheet, clock.operation));
  const isOver = clock.phase !== "running";
  const until = isTooCold(clock) ? "it has set in the warm" : clockTime(due, now.value);
  const figures = isTooCold(clock) ? "Too cold" : digits(due - now.value);
  const warning = airWarning(clock) ?? slowDrying(clock, operationOf(view.sheet, clock.operation));
  const line = (
    <>
      <Icon name={CLOCKS[clock.kind].icon} />
      <span>
        {own ? words.name : <PieceTitle view={view} id={clock.operation} />}
        <small>
          {isOver
            ? words.due
            : own
              ? [`${words.running} Until ${until}.`, clockRemark(clock)].join(" ")
              : [builds.value.length > 1 ? view.name : "", words.name, `until ${until}`].filter(Boolean).join(", ")}
        </small>
        {warning && <small class="look">{warning}</small>}
      </span>
      <strong class="figure">{isOver ? "Now" : figures}</strong>
    </>
  );
  if (own) return <p class="row-words">{line}</p>;
  return (
    <Link to={operationPath(view.id, clock.operation)} class="row-words">
      {line}
    </Link>
  );
}

/** Gives the phone's calendar this clock as one entry that has an alarm, for when the page is closed. */
async function intoCalendar(view: BuildView, clock: RunningClock): Promise<void> {
  const made = await madeEntry(view, clock, quiet.value, now.value);
  await openCalendarFile(made.uid, calendarOf(made));
}

const SOON_MS = 4 * HOUR_MS;

/** Whether it gets a card of its own: it asks for something now, or ends within some hours. */
export function isSoon(clock: RunningClock): boolean {
  if (clock.phase === "running") return moment(clock) - now.value < SOON_MS;
  return clock.phase === "late" || CLOCKS[clock.kind].end !== null;
}

type EndProps = { readonly clock: RunningClock; readonly view: BuildView; readonly own: boolean };

/** A button for what a due clock asks for. own: on its operation's screen, where the main button does the rest. */
function EndClock({ clock, view, own }: EndProps) {
  const { end } = CLOCKS[clock.kind];
  const operation = operationOf(view.sheet, clock.operation);
  const offered = own ? end && !HAPPENINGS[end].is_step : clock.phase !== "running";
  if (!end || !operation || !offered) return null;
  const what = { kind: end, operation: operation.id } as const;
  return <Button onTap={() => void record(view.id, what, subjectsOf(operation))}>{buttonOf(end, operation)}</Button>;
}
