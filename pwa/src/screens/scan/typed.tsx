import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";

/** Eight characters from beside the square. onCode: what is wrong with them, "" when they were taken. */
export function TypedCode({ onCode }: { readonly onCode: (text: string) => string }) {
  const text = useSignal("");
  const error = useSignal("");
  const form = useRef<HTMLFormElement>(null);
  const look = (event: Event) => {
    event.preventDefault();
    error.value = onCode(text.value);
    if (!error.value) text.value = "";
    else requestAnimationFrame(() => form.current?.scrollIntoView({ block: "end" }));
  };
  return (
    <form ref={form} class="stack block typed" onSubmit={look}>
      <h2>Type the code</h2>
      <Field
        label="Code beside the square"
        value={text.value}
        hint="Eight characters, such as 7H3K-9QXM. O counts as 0, I and L as 1."
        error={error.value}
        upper
        onText={(written) => {
          text.value = written;
          error.value = "";
        }}
      />
      <Submit>Find the part</Submit>
    </form>
  );
}
