import { type Signal, useSignal } from "@preact/signals";
import { useLayoutEffect, useRef } from "preact/hooks";
import { alikeAmong } from "../../bench/alike.ts";
import { Button } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import { dayName } from "../../moments.ts";
import type { PresentedPlan } from "../../wire.gen.ts";
import { DayList } from "./day_list.tsx";
import { type Day, daysOf } from "./days.ts";
import { DayDrawing } from "./drawing.tsx";
import { Legend } from "./legend.tsx";
import { PrintedDays } from "./printed_days.tsx";

/** One day at a time on the screen, as a drawing or in words; on paper every day, a page each. */
export function DayView({ plan }: { plan: PresentedPlan }) {
  const turned = useSignal(0);
  const asList = useSignal(false);
  const room = useRef<HTMLDivElement>(null);
  const width = useWidth(room);
  const joins = alikeAmong(builds.value);
  const days = daysOf(plan, joins);
  const at = Math.min(turned.value, days.length - 1);
  const day = days[at];
  return (
    <section class="block" ref={room} aria-label="Day by day">
      <DayTurner days={days} at={at} onTurn={(to) => (turned.value = to)} />
      {day && (
        <div class="day screen-only">
          {asList.value && <DayList day={day} />}
          {!asList.value && width.value > 0 && <DayDrawing day={day} width={width.value} />}
        </div>
      )}
      <PrintedDays plan={plan} joins={joins} asList={asList.value} />
      {!asList.value && <Legend />}
      <div class="pair screen-only">
        <Button icon="note" pressed={asList.value} onTap={() => (asList.value = !asList.value)}>
          As a list
        </Button>
        <Button icon="print" onTap={() => print()}>
          Print
        </Button>
      </div>
    </section>
  );
}

type DayTurnerProps = { readonly days: readonly Day[]; readonly at: number; readonly onTurn: (to: number) => void };

/** The day's name between the ways to the one before and the one after. */
function DayTurner({ days, at, onTurn }: DayTurnerProps) {
  const day = days[at];
  return (
    <div class="day-turner screen-only">
      <TurnButton icon="back" words="The day before" able={at > 0} onTap={() => onTurn(at - 1)} />
      <p aria-live="polite">
        <strong>{day && dayName(day.from)}</strong>
        <small>
          Day {at + 1} of {days.length}
        </small>
      </p>
      <TurnButton icon="onward" words="The day after" able={at < days.length - 1} onTap={() => onTurn(at + 1)} />
    </div>
  );
}

type TurnProps = {
  readonly icon: "back" | "onward";
  readonly words: string;
  readonly able: boolean;
  readonly onTap: () => void;
};

function TurnButton({ icon, words, able, onTap }: TurnProps) {
  return (
    <button type="button" class="button turn" aria-label={words} disabled={!able} onClick={onTap}>
      <Icon name={icon} />
    </button>
  );
}

/** How wide it is, px; 0 until it is known. */
function useWidth(room: { readonly current: HTMLElement | null }): Signal<number> {
  const width = useSignal(0);
  useLayoutEffect(() => {
    if (!room.current) return;
    const watch = new ResizeObserver(([entry]) => {
      width.value = Math.floor(entry?.contentRect.width ?? 0);
    });
    watch.observe(room.current);
    return () => watch.disconnect();
  }, []);
  return width;
}
