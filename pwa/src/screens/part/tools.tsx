import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { ReasonForm } from "../../controls/reason_dialog.tsx";
import { record } from "../../live/record.ts";
import type { Sheet } from "../../wire.gen.ts";
import { NoteDialog } from "../operation/note.tsx";
import { printPath } from "../paths.ts";
import { TakePhoto } from "../photo/take.tsx";
import { counted, titleOf } from "../words/names.ts";

/** A note or a photo of the part, its label, and the button that says it is spoiled. */
export function PartTools({ view, id }: { view: BuildView; id: string }) {
  const asked = useSignal<"note" | "spoiled" | null>(null);
  const close = () => (asked.value = null);
  const spoil = (reason: string) => {
    void record(view.id, { kind: "spoiled", part: id, reason }, [id]);
    close();
    scrollTo(0, 0);
  };
  return (
    <section class="block">
      <div class="pair">
        <Button icon="note" onTap={() => (asked.value = "note")}>
          Note
        </Button>
        <TakePhoto build={view.id} about={[id]} />
        <Link to={printPath(view.id, id)} class="button plain" icon="print">
          <span>Its label</span>
        </Link>
        {!view.bench.parts[id]?.spoiled && (
          <Button icon="spoiled" onTap={() => (asked.value = "spoiled")}>
            Spoiled
          </Button>
        )}
      </div>
      {asked.value === "note" && <NoteDialog notes={[{ build: view.id, about: [id] }]} onClose={close} />}
      {asked.value === "spoiled" && (
        <Dialog title={`${titleOf(view.sheet, id)} spoiled`} onClose={close}>
          <Reopens view={view} id={id} />
          <ReasonForm
            usual={["Cut too short", "Tear-out or split", "Wrong face or end", "Flaw in the wood"]}
            action="It is spoiled"
            onReason={spoil}
          />
        </Dialog>
      )}
    </section>
  );
}

/** What has to be done again. */
function Reopens({ view, id }: { view: BuildView; id: string }) {
  const again = reopened(view, id);
  if (again.length === 0) return <p>Nothing was done to it yet, so nothing is lost but the wood.</p>;
  return (
    <>
      <p>This reopens {counted(again.length, "operation")}:</p>
      <ul class="plain-list">
        {again.map((operation) => (
          <li key={operation}>{titleOf(view.sheet, operation)}</li>
        ))}
      </ul>
    </>
  );
}

/** Operations already begun or done on a part, or on whatever it is in: they count as not done once it is spoiled. */
function reopened(view: BuildView, id: string): string[] {
  const touched = new Set([...within(view.sheet, id), ...above(view.sheet, id)]);
  return view.sheet.operations
    .filter(({ parts }) => parts.some((part) => touched.has(part)))
    .filter((operation) => Object.keys(view.bench.operations[operation.id]?.marks ?? {}).length > 0)
    .map((operation) => operation.id);
}

/** It, and all that is joined in it. */
function within(sheet: Sheet, id: string): string[] {
  const joined = sheet.assemblies.find((assembly) => assembly.id === id)?.of ?? [];
  return [id, ...joined.flatMap((one) => within(sheet, one))];
}

/** The assemblies it goes into, at any depth. */
function above(sheet: Sheet, id: string): string[] {
  const holders = sheet.assemblies.filter(({ of }) => of.includes(id)).map((assembly) => assembly.id);
  return holders.flatMap((holder) => [holder, ...above(sheet, holder)]);
}
