import { useSignal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { Submit } from "./button.tsx";
import { Dialog } from "./dialog.tsx";
import { Field } from "./field.tsx";

type ReasonProps = {
  readonly title: string;
  readonly usual: readonly string[];
  readonly action: string;
  readonly onReason: (reason: string) => void;
  readonly onClose: () => void;
  readonly children?: ComponentChildren;
};

/** Asks for a reason before something is done against advice. Without one it is not done. */
export function ReasonDialog({ title, onClose, children, ...form }: ReasonProps) {
  return (
    <Dialog title={title} onClose={onClose}>
      {children}
      <ReasonForm {...form} />
    </Dialog>
  );
}

type FormProps = Pick<ReasonProps, "usual" | "action" | "onReason">;

/** Usual reasons to tap, and a field for another; gives none until one is there. */
export function ReasonForm({ usual, action, onReason }: FormProps) {
  const text = useSignal("");
  const error = useSignal("");
  const give = (event: Event) => {
    event.preventDefault();
    if (text.value.trim()) onReason(text.value.trim());
    else error.value = "No reason given. Tap one, or write your own.";
  };
  return (
    <form class="stack" onSubmit={give}>
      <p class="hint">A reason is needed: tap one, or write your own.</p>
      <div class="reasons">
        {usual.map((reason) => (
          <button
            key={reason}
            type="button"
            class="chip"
            aria-pressed={text.value === reason}
            onClick={() => {
              text.value = reason;
              error.value = "";
            }}
          >
            {reason}
          </button>
        ))}
      </div>
      <Field
        label="Reason"
        value={text.value}
        error={error.value}
        onText={(written) => {
          text.value = written;
          error.value = "";
        }}
      />
      <Submit kind="grave">{action}</Submit>
    </form>
  );
}
