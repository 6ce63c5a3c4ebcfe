import { useId } from "preact/hooks";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";

/** By which day the build is promised: the plan then looks that it is done by its end. */
export function PromiseField({ view }: { view: BuildView }) {
  const id = useId();
  const kept = shop.value.settings[`due/${view.id}`] as { readonly by?: unknown } | null | undefined;
  const day = typeof kept?.by === "number" ? dayOf(kept.by) : "";
  return (
    <div class="field">
      <label for={id}>Promised by</label>
      <input
        id={id}
        type="date"
        value={day}
        onChange={(event) => {
          const by = endOf(event.currentTarget.value);
          void record("", { kind: "kept", setting: `due/${view.id}`, value: by === null ? null : { by } }, [view.id]);
        }}
      />
      <p class="hint">The plan puts what is promised before what is not. Empty: nobody waits for it.</p>
    </div>
  );
}

/** The last moment of that day here, server time in ms; null for no day. */
function endOf(day: string): number | null {
  const [year = 0, month = 0, date = 0] = day.split("-").map(Number);
  return day ? new Date(year, month - 1, date, 23, 59).getTime() : null;
}

/** The day here as a date field has it, 2026-12-04. */
function dayOf(ms: number): string {
  const at = new Date(ms);
  return [at.getFullYear(), at.getMonth() + 1, at.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
}
