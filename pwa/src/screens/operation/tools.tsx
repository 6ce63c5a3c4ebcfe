import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { clockTime } from "../../controls/moments.ts";
import { type BuildView, now, undo, units } from "../../live.ts";
import type { Happening, Operation } from "../../wire.gen.ts";
import { told } from "../words/happenings.ts";
import { NoteSheet } from "./note.tsx";
import { concerns } from "./steps.ts";

type ToolsProps = { readonly view: BuildView; readonly operation: Operation };

/** What may be wanted beside the main button: a note, and taking the last thing back. */
export function Tools({ view, operation }: ToolsProps) {
  const noting = useSignal(false);
  const last = lastOf(view, operation);
  return (
    <section class="block">
      <div class="pair">
        <Button icon="note" onTap={() => (noting.value = true)}>
          Note
        </Button>
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
      {noting.value && <NoteSheet build={view.id} about={concerns(operation)} onClose={() => (noting.value = false)} />}
    </section>
  );
}

/** The latest happening on this operation that still counts and may be taken back. */
function lastOf(view: BuildView, operation: Operation): Happening | undefined {
  return view.book
    .told()
    .filter(({ what }) => what !== null && what.kind !== "undone" && what.kind !== "acknowledged")
    .filter(({ what, about }) =>
      what && "operation" in what ? what.operation === operation.id : about[0] === operation.id,
    )
    .at(-1);
}
