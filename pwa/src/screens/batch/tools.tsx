import { useSignal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import { Button } from "../../controls/button.tsx";
import { undo } from "../../live/record.ts";
import { now, unitsOf } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { NoteDialog, type Noted } from "../operation/note.tsx";
import { subjectsOf } from "../operation/steps.ts";
import { sentence } from "../words/happenings.ts";
import { byBuild, type Work, whose } from "../words/whose.ts";
import { lastTap, type Told } from "./last_tap.ts";

/** What else can be done here: a note on all, and undoing the last thing. Photos are taken of a piece alone. */
export function BatchTools({ works }: { readonly works: readonly Work[] }) {
  const noting = useSignal(false);
  const told = useMemo(() => lastTap(works), works);
  return (
    <section class="block">
      <div class="pair">
        <Button icon="note" onTap={() => (noting.value = true)}>
          Note
        </Button>
        {told.length > 0 && (
          <Button icon="undo" onTap={() => undoAll(told)}>
            Undo last
          </Button>
        )}
      </div>
      {told.length > 0 && <LastTap told={told} works={works} />}
      {noting.value && <NoteDialog notes={notesOn(works)} onClose={() => (noting.value = false)} />}
    </section>
  );
}

function LastTap({ told, works }: { readonly told: readonly Told[]; readonly works: readonly Work[] }) {
  const last = told.at(-1);
  if (!last) return null;
  const { view } = last.work;
  const words = sentence(last.happening.what, { sheet: view.sheet, units: unitsOf(view.sheet) });
  return (
    <p class="soft">
      Last, {clockTime(view.book.moment(last.happening).ms, now.value)}: {words}
      {told.length > 1 &&
        ` The same for ${whose(
          told.slice(0, -1).map(({ work }) => work),
          works,
        )}.`}
    </p>
  );
}

function undoAll(told: readonly Told[]): void {
  for (const { work, happening } of told) void undo(work.view.id, happening.id);
}

/** A note is kept once in each build, about all that it is on there. */
function notesOn(works: readonly Work[]): readonly Noted[] {
  return byBuild(works).map((own) => ({
    build: own[0].view.id,
    about: [...new Set(own.flatMap(({ operation }) => subjectsOf(operation)))],
  }));
}
