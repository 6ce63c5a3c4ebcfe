import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";
import { ClosedDates } from "./closed_dates.tsx";
import { WorkHours } from "./work_hours.tsx";

const SPAN = /^([01]\d|2[0-3]):[0-5]\d-([01]\d|2[0-3]):[0-5]\d$/;
const WRITE_LIKE = "Write it like 08:00-17:00.";

/** When the hands work, when only what cannot wait may ring, and when nobody is there. */
export function Hours() {
  const { quiet } = shop.value.settings;
  return (
    <section class="block">
      <h2>Hours</h2>
      <WorkHours />
      <HoursField
        label="Quiet hours"
        hint="Open time, pot life, wiping off and oily rags ring all the same. Empty: none."
        kept={quietSpan(quiet)}
        onKept={(span) => keep("quiet", span ? quietOf(span) : null)}
      />
      <ClosedDates />
    </section>
  );
}

type HoursFieldProps = {
  readonly label: string;
  readonly hint: string;
  readonly kept: string;
  readonly onKept: (span: string) => void;
};

function HoursField({ label, hint, kept, onKept }: HoursFieldProps) {
  const text = useSignal<string | null>(null);
  const written = (text.value ?? kept).replaceAll(" ", "").replace("–", "-");
  const good = written === "" || SPAN.test(written);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (!good) return;
        onKept(written);
        text.value = null;
      }}
    >
      <Field
        label={label}
        value={text.value ?? kept}
        hint={hint}
        error={good ? "" : WRITE_LIKE}
        onText={(typed) => {
          text.value = typed;
        }}
      />
      {text.value !== null && good && written !== kept && <Submit kind="plain">Keep it</Submit>}
    </form>
  );
}

function keep(setting: string, value: unknown): void {
  void record("", { kind: "kept", setting, value }, []);
}

/** As the server reads it, with this device's time zone. */
function quietOf(span: string): { from: string; to: string; zone: string } {
  const [from = "", to = ""] = span.split("-");
  return { from, to, zone: Intl.DateTimeFormat().resolvedOptions().timeZone };
}

function quietSpan(kept: unknown): string {
  const { from, to } = (kept ?? {}) as { from?: unknown; to?: unknown };
  return typeof from === "string" && typeof to === "string" ? `${from}-${to}` : "";
}
