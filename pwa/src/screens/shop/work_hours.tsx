import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";
import { DAYS, type Day, hoursOf, workingDays } from "../../phone/shop_hours.ts";

const NAMES: Readonly<Record<Day, string>> = {
  mon: "Mon",
  tue: "Tue",
  wed: "Wed",
  thu: "Thu",
  fri: "Fri",
  sat: "Sat",
  sun: "Sun",
};
const USUAL: readonly Day[] = DAYS.slice(0, 5);

/** When the hands work: hours of a day, breaks left out, and the days on which they count. */
export function WorkHours() {
  const kept = workingDays(shop.value.settings.hours);
  const text = useSignal<string | null>(null);
  const chosen = useSignal<readonly Day[] | null>(null);
  const hours = hoursOf(text.value ?? kept.text);
  const days = chosen.value ?? (kept.days.length ? kept.days : USUAL);
  const error = hours === null ? "Write them like 08:00-17:00, or 08:00-12:00, 12:30-17:00." : "";
  const isNew = hours !== null && (hours !== kept.text || (hours !== "" && days.join() !== kept.days.join()));
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        if (hours === null) return;
        keepHours(hours, days);
        text.value = null;
        chosen.value = null;
      }}
    >
      <Field
        label="The shop's hours"
        value={text.value ?? kept.text}
        hint="For the plan, and so that a long wait can be started before you go home. Empty: 08:00-17:00 is taken."
        error={error}
        onText={(typed) => {
          text.value = typed;
        }}
      />
      <fieldset class="days">
        <legend>Days</legend>
        {DAYS.map((day) => (
          <button
            key={day}
            type="button"
            class="chip"
            aria-pressed={days.includes(day)}
            onClick={() => {
              chosen.value = DAYS.filter((one) => (one === day ? !days.includes(day) : days.includes(one)));
            }}
          >
            {NAMES[day]}
          </button>
        ))}
      </fieldset>
      {isNew && <Submit kind="plain">Keep it</Submit>}
    </form>
  );
}

/** With this device's time zone, by which the server reads them. */
function keepHours(hours: string, days: readonly Day[]): void {
  const value = hours && days.length ? Object.fromEntries(days.map((day) => [day, hours])) : null;
  void record("", { kind: "kept", setting: "hours", value }, []);
  void record("", { kind: "kept", setting: "zone", value: Intl.DateTimeFormat().resolvedOptions().timeZone }, []);
}
