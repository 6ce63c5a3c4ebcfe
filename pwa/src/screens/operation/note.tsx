import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";

type NoteProps = { readonly build: string; readonly about: readonly string[]; readonly onClose: () => void };

/** Words to keep about something. */
export function NoteDialog({ build, about, onClose }: NoteProps) {
  const text = useSignal("");
  const keep = (event: Event) => {
    event.preventDefault();
    if (text.value.trim()) void record(build, { kind: "noted", text: text.value.trim() }, about);
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
