import { useSignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import { isReminder } from "../../bench/clock_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button } from "../../controls/button.tsx";
import { undo } from "../../live/record.ts";
import { now, running, unitsOf } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Operation } from "../../wire.gen.ts";
import { Pictures } from "../photo/picture.tsx";
import { TakePhoto } from "../photo/take.tsx";
import { sentence } from "../words/happenings.ts";
import { LongerDialog, longerWanted } from "./longer.tsx";
import { NoteDialog } from "./note.tsx";
import { subjectsOf } from "./steps.ts";
import { storyOfOperation } from "./story.ts";

type ToolsProps = { readonly view: BuildView; readonly operation: Operation };

/** What else can be done here: a note, a photo, more time, and undoing the last thing. */
export function Tools({ view, operation }: ToolsProps) {
  const noting = useSignal(false);
  const longer = useSignal(false);
  const clocks = running.value.filter((clock) => clock.build === view.id && clock.operation === operation.id);
  const waits = clocks.filter(({ kind, least }) => least !== null && !isReminder(kind));
  const tapped = waits.find(({ kind, build, operation: of }) => {
    const { value } = longerWanted;
    return value?.kind === kind && value.build === build && value.operation === of;
  });
  const own = useMemo(() => storyOfOperation(view, operation), [view, operation]);
  const last = own.at(-1);
  return (
    <section class="block">
      <div class="pair">
        <Button icon="note" onTap={() => (noting.value = true)}>
          Note
        </Button>
        <TakePhoto build={view.id} about={subjectsOf(operation)} />
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
      <Pictures view={view} of={own} />
      {last && (
        <p class="soft">
          Last, {clockTime(view.book.moment(last).ms, now.value)}:{" "}
          {sentence(last.what, { sheet: view.sheet, units: unitsOf(view.sheet) })}
        </p>
      )}
      {(longer.value || tapped) && (
        <LongerDialog
          view={view}
          operation={operation}
          waits={waits}
          tapped={tapped?.kind}
          onClose={() => {
            longer.value = false;
            longerWanted.value = null;
          }}
        />
      )}
      {noting.value && (
        <NoteDialog notes={[{ build: view.id, about: subjectsOf(operation) }]} onClose={() => (noting.value = false)} />
      )}
    </section>
  );
}
