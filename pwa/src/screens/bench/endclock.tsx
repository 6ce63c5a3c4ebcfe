import { ENDS } from "../../alerts/ends.ts";
import type { RunningClock } from "../../alerts/schedule.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import { concerns } from "../operation/steps.ts";
import { operationOf } from "../words/names.ts";

/** Clocks that end beside the operation's own steps: at any time, also after it is done. */
const BESIDE: ReadonlySet<string> = new Set(["squeeze-out", "rags"]);

type EndProps = { readonly clock: RunningClock; readonly view: BuildView; readonly own: boolean };

/** One tap for what a due clock asks of the hands. own: on its operation's screen, where the main button does the rest. */
export function EndClock({ clock, view, own }: EndProps) {
  const ends = ENDS[clock.kind];
  const operation = operationOf(view.sheet, clock.operation);
  const offered = own ? BESIDE.has(clock.kind) : clock.phase !== "running";
  if (!ends || !operation || !offered) return null;
  const what = { kind: ends[1], operation: operation.id } as const;
  return <Button onTap={() => void record(view.id, what, concerns(operation))}>{ends[0]}</Button>;
}
