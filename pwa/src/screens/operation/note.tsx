import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";

/** Where a note is kept: a build, and ids of what it is about there. */
export type Noted = { readonly build: string; readonly about: readonly string[] };

type NoteProps = { readonly notes: readonly Noted[]; readonly onClose: () => void };

/** Words to keep about something, once in each build. */
export function NoteDialog({ notes, onClose }: NoteProps) {
  const text = useSignal("");
  const keep = (event: Event) => {
    event.preventDefault();
    const words = text.value.trim();
    if (words) for (const { build, about } of notes) void record(build, { kind: "noted", text: words }, about);
    onClose();
  };
  return (
    <Dialog title="Note" onClose={onClose}>
      <form class="stack" onSubmit={keep}>
        <Field
          label="What to remember"
          value={text.value}
          rows={4}
          focused
          onText={(written) => (text.value = written)}
        />
        <Submit>Keep the note</Submit>
      </form>
    </Dialog>
  );
}
