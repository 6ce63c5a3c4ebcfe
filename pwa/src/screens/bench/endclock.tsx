import { CLOCKS } from "../../bench/clock_kinds.ts";
import { HAPPENINGS } from "../../bench/happening_kinds.ts";
import { Button } from "../../controls/button.tsx";
import { type BuildView, type RunningClock, record } from "../../live.ts";
import { concerns } from "../operation/steps.ts";
import { operationOf } from "../words/names.ts";

type EndProps = { readonly clock: RunningClock; readonly view: BuildView; readonly own: boolean };

/** One tap for what a due clock asks of the hands. own: on its operation's screen, where the main button does the rest. */
export function EndClock({ clock, view, own }: EndProps) {
  const { end } = CLOCKS[clock.kind];
  const operation = operationOf(view.sheet, clock.operation);
  const offered = own ? end && !HAPPENINGS[end].is_step : clock.phase !== "running";
  if (!end || !operation || !offered) return null;
  const what = { kind: end, operation: operation.id } as const;
  return <Button onTap={() => void record(view.id, what, concerns(operation))}>{HAPPENINGS[end].button}</Button>;
}
