import { useSignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import { Button } from "../../controls/button.tsx";
import { clockTime } from "../../controls/moments.ts";
import { type BuildView, now, running, undo, units } from "../../live.ts";
import type { Happening, Operation } from "../../wire.gen.ts";
import { storyOf, told } from "../words/happenings.ts";
import { LongerSheet } from "./longer.tsx";
import { NoteSheet } from "./note.tsx";
import { concerns } from "./steps.ts";

type ToolsProps = { readonly view: BuildView; readonly operation: Operation };

/** What may be wanted beside the main button: a note, more time, and taking the last thing back. */
export function Tools({ view, operation }: ToolsProps) {
  const noting = useSignal(false);
  const longer = useSignal(false);
  const own = running.value.filter((clock) => clock.build === view.id && clock.operation === operation.id);
  const waits = own.filter(({ least }) => least !== null);
  const last = useMemo(() => lastOf(view, operation), [view, operation]);
  return (
    <section class="block">
      <div class="pair">
        <Button icon="note" onTap={() => (noting.value = true)}>
          Note
        </Button>
        {waits.length > 0 && (
          <Button
            icon="clock"
            onTap={() => {
              longer.value = true;
            }}
          >
            Longer
          </Button>
        )}
        {last && (
          <Button icon="undo" onTap={() => void undo(view.id, last.id)}>
            Undo last
          </Button>
        )}
      </div>
      {last && (
        <p class="soft">
          Last, {clockTime(last.at.ms, now.value)}: {told(last.what, { sheet: view.sheet, units: units.value })}
        </p>
      )}
      {longer.value && (
        <LongerSheet
          view={view}
          operation={operation}
          waits={waits}
          onClose={() => {
            longer.value = false;
          }}
        />
      )}
      {noting.value && <NoteSheet build={view.id} about={concerns(operation)} onClose={() => (noting.value = false)} />}
    </section>
  );
}

/** The latest happening on this operation that still counts and may be taken back. */
function lastOf(view: BuildView, operation: Operation): Happening | undefined {
  return storyOf(view)
    .filter(({ what, about }) =>
      what && "operation" in what ? what.operation === operation.id : about[0] === operation.id,
    )
    .at(-1);
}
