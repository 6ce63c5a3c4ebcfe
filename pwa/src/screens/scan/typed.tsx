import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { builds } from "../../live.ts";
import { NotACode, near, readCode, showCode } from "../../recipe/code.ts";

/** Eight characters from beside the square; a slip is named before anything is looked up. */
export function TypedCode({ onCode }: { onCode: (code: string) => void }) {
  const text = useSignal("");
  const trouble = useSignal("");
  const look = (event: Event) => {
    event.preventDefault();
    try {
      onCode(readCode(text.value));
      text.value = "";
    } catch (error) {
      if (!(error instanceof NotACode)) throw error;
      trouble.value = `${error.message}${nearest(text.value)}`;
    }
  };
  return (
    <form class="stack block" onSubmit={look}>
      <h2>Type the code</h2>
      <Field
        label="Code beside the square"
        value={text.value}
        hint="Eight characters, such as 7H3K-9QXM. O counts as 0, I and L as 1."
        trouble={trouble.value}
        upper
        onText={(written) => {
          text.value = written;
          trouble.value = "";
        }}
      />
      <Submit>Find the part</Submit>
    </form>
  );
}

/** Codes of this shop that are one slip away from what was typed. */
function nearest(text: string): string {
  const known = builds.value.flatMap(({ bench }) => Object.values(bench.parts).map(({ code }) => code));
  const found = near(text, known).slice(0, 3);
  return found.length ? ` Near it: ${found.map(showCode).join(", ")}.` : "";
}
