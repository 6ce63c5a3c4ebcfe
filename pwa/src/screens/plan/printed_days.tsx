import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { longDate } from "../../moments.ts";
import type { PresentedPlan } from "../../wire.gen.ts";
import { DayList } from "./day_list.tsx";
import { type Day, daysOf, type Joins } from "./days.ts";
import { DayDrawing } from "./drawing.tsx";
import { downTo, PAPER } from "./stretches.ts";

type PrintedProps = { readonly plan: PresentedPlan; readonly joins: Joins; readonly asList: boolean };

/** Every day on a page of its own; drawn only while the browser prints. joins: as in `daysOf`. */
export function PrintedDays({ plan, joins, asList }: PrintedProps) {
  const printing = useSignal(false);
  useEffect(() => {
    const begin = () => (printing.value = true);
    const end = () => (printing.value = false);
    addEventListener("beforeprint", begin);
    addEventListener("afterprint", end);
    return () => {
      removeEventListener("beforeprint", begin);
      removeEventListener("afterprint", end);
    };
  }, []);
  if (!printing.value) return null;
  return (
    <>
      {daysOf(plan, joins, PAPER).map((day) => (
        <div key={day.to} class="day-page">
          <h2>{longDate(day.from)}</h2>
          {asList ? <DayList day={day} /> : <DayDrawing day={day} width={widthFor(day)} onPaper />}
        </div>
      ))}
    </>
  );
}

/** Of an A4 page within its margins, below the date: as wide as it is high. */
const SHAPE = 182 / 228;
const HEAD = 136;
const LEAST = 700;

function widthFor(day: Day): number {
  return Math.max(LEAST, (downTo(day.stretches, day.to) + HEAD) * SHAPE);
}
