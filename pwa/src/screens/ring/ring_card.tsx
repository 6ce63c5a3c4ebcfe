import "./ring_card.css";
import { useLayoutEffect, useRef } from "preact/hooks";
import type { Alarm } from "../../alerts/schedule.ts";
import { clockRemark, endOf, ringText } from "../../bench/clock_kinds.ts";
import { moment } from "../../bench/clocks.ts";
import { Button } from "../../controls/button.tsx";
import { TimeLeft } from "../../controls/clock.tsx";
import { Icon } from "../../controls/icon.tsx";
import { travel } from "../../live/navigation.ts";
import { builds, interrupting, now, running } from "../../live/state.ts";
import { ago, clockTime } from "../../moments.ts";
import { operationPath } from "../paths.ts";
import { buttonOf } from "../words/buttons.ts";
import { fullTitle, operationOf } from "../words/names.ts";
import { acknowledge, end } from "./alarms.ts";

/** Covers everything while something rings that may interrupt: what, since when, and what to do about it. */
export function RingCard() {
  const [first, ...others] = interrupting.value;
  return first ? <Ringing key={first.name} ring={first} others={others.length} /> : null;
}

function Ringing({ ring, others }: { ring: Alarm; others: number }) {
  const card = useRef<HTMLDialogElement>(null);
  useLayoutEffect(() => {
    const shown = card.current;
    if (shown && !shown.open) shown.showModal();
    return () => shown?.close();
  }, []);
  const view = builds.value.find(({ id }) => id === ring.build);
  const ends = endOf(ring.kind, ring.stage);
  const operation = view && operationOf(view.sheet, ring.operation);
  const { title, text } = ringText(ring.kind, ring.stage, operation);
  const clock = running.value.find(
    ({ build, operation: of, kind }) => build === ring.build && of === ring.operation && kind === ring.kind,
  );
  return (
    <dialog ref={card} class="ring-card" aria-labelledby="ring-what" onCancel={(event) => event.preventDefault()}>
      <Icon name="bell" large />
      <p class="over">{view && fullTitle(view.sheet, ring.operation)}</p>
      <h2 id="ring-what">{title}</h2>
      <p class="what-now">{text}</p>
      {clock && clockRemark(clock) && <p>{clockRemark(clock)}</p>}
      {clock?.phase === "running" && !clock.too_cold && moment(clock) > now.value && (
        <TimeLeft ms={moment(clock) - now.value} large />
      )}
      <p class="since">
        Since <time>{clockTime(ring.at, now.value)}</time>, {ago(now.value - ring.at)}
      </p>
      {others > 0 && <p>{others === 1 ? "One more rings after this." : `${others} more ring after this.`}</p>}
      <div class="stack">
        {view && ends && (
          <Button kind="main" onTap={() => void acknowledge(ring).then(() => end(ring))}>
            {buttonOf(ends, operation)}
          </Button>
        )}
        <div class="pair">
          <Button
            icon="onward"
            onTap={() => {
              void acknowledge(ring);
              travel(operationPath(ring.build, ring.operation));
            }}
          >
            Open it
          </Button>
          <Button icon="bell" onTap={() => void acknowledge(ring)}>
            Heard
          </Button>
        </div>
      </div>
    </dialog>
  );
}
