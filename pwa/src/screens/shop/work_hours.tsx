import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";
import { workingDays } from "../../phone/shop_hours.ts";
import { HoursFields, keptOf, type TypedHours, typedOf } from "./hours_fields.tsx";

/** When the hands work: hours of a day, its breaks, and the days on which they count. */
export function WorkHours() {
  const before = typedOf(workingDays(shop.value.settings.hours));
  const changed = useSignal<TypedHours | null>(null);
  const typed = changed.value ?? before;
  const wanted = keptOf(typed);
  const isNew = wanted !== undefined && JSON.stringify(wanted) !== JSON.stringify(keptOf(before));
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (wanted === undefined) return;
        keepHours(wanted);
        changed.value = null;
      }}
    >
      <HoursFields
        label="The shop's hours"
        hint="For the plan, and so that a long wait can be started before you go home. Over midnight: 18:00-01:00. Empty: 08:00-17:00 is taken."
        typed={typed}
        onTyped={(next) => {
          changed.value = next;
        }}
      />
      {isNew && <Submit kind="plain">Keep it</Submit>}
    </form>
  );
}

/** With this device's time zone, by which the server reads them. */
function keepHours(value: unknown): void {
  void record("", { kind: "kept", setting: "hours", value }, []);
  void record("", { kind: "kept", setting: "zone", value: Intl.DateTimeFormat().resolvedOptions().timeZone }, []);
}
