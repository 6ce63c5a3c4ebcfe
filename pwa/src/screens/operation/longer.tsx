import { type Signal, signal, useSignal } from "@preact/signals";
import type { RunningClock } from "../../alerts/schedule.ts";
import { wordsOf } from "../../bench/clock_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Submit } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Choice, Field } from "../../controls/field.tsx";
import { MINUTE_MS } from "../../durations.ts";
import { record } from "../../live/record.ts";
import type { Operation } from "../../wire.gen.ts";
import { subjectsOf } from "./steps.ts";

export const longerWanted: Signal<Pick<RunningClock, "build" | "operation" | "kind"> | null> = signal(null);

const SPANS = [
  ["10", "10 minutes"],
  ["60", "1 hour"],
  ["240", "4 hours"],
  ["720", "12 hours"],
] as const;

type LongerProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly waits: readonly RunningClock[];
  readonly tapped?: RunningClock["kind"] | undefined;
  readonly onClose: () => void;
};

/** What "ten more minutes" on a notice asks for, and what is usual else. */
const [TEN, HOUR] = SPANS;

/** Makes a wait longer, never shorter: too cold, a stressed joint, a soft coat. tapped: the clock tapped on a notice. */
export function LongerDialog({ view, operation, waits, tapped, onClose }: LongerProps) {
  const kind = useSignal<string>(tapped ?? waits[0]?.kind ?? "");
  const minutes = useSignal<string>(tapped ? TEN[0] : HOUR[0]);
  const reason = useSignal("");
  const keep = (event: Event) => {
    event.preventDefault();
    const by_ms = Number(minutes.value) * MINUTE_MS;
    const what = {
      kind: "lengthened",
      operation: operation.id,
      clock: kind.value,
      by_ms,
      reason: reason.value.trim(),
    } as const;
    void record(view.id, what, subjectsOf(operation));
    onClose();
  };
  return (
    <Dialog title="Leave it longer" onClose={onClose}>
      <form class="stack" onSubmit={keep}>
        {tapped && <p>{wordsOf(tapped, operation).name}</p>}
        {waits.length > 1 && !tapped && (
          <Choice
            label="Which clock"
            value={kind.value}
            options={waits.map((clock) => [clock.kind, wordsOf(clock.kind, operation).name] as const)}
            onChoice={(chosen) => {
              kind.value = chosen;
            }}
          />
        )}
        <Choice
          label="How much longer"
          value={minutes.value}
          options={SPANS}
          onChoice={(chosen) => {
            minutes.value = chosen;
          }}
        />
        <Field
          label="Reason"
          value={reason.value}
          hint="May stay empty; the log keeps it."
          onText={(text) => {
            reason.value = text;
          }}
        />
        <Submit>Leave it longer</Submit>
      </form>
    </Dialog>
  );
}
