import { useSignal } from "@preact/signals";
import { useId } from "preact/hooks";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import { type DaysOff, dayText } from "../../phone/days_off.ts";
import { datesText } from "../words/dates.ts";

type DaysOffListProps = {
  readonly off: readonly DaysOff[];
  readonly add: string;
  readonly example: string;
  readonly onChange: (off: readonly DaysOff[]) => void;
};

/** Days off that are still to come, each to be taken back, and a form for more. add: what the button says. */
export function DaysOffList({ off, add, example, onChange }: DaysOffListProps) {
  const today = dayText(new Date(now.value));
  const coming = off.filter(({ to }) => to >= today);
  return (
    <>
      {coming.length > 0 && (
        <ul class="rows">
          {coming.map((one) => (
            <li key={`${one.from} ${one.to} ${one.name}`} class="row">
              <p class="row-words">
                <span>
                  {datesText(one.from, one.to, today)}
                  {one.name && <small>{one.name}</small>}
                </span>
              </p>
              <button
                type="button"
                class="row-way take-back"
                aria-label={`Take back ${datesText(one.from, one.to, today)}`}
                onClick={() => onChange(coming.filter((other) => other !== one))}
              >
                <Icon name="close" />
              </button>
            </li>
          ))}
        </ul>
      )}
      <AddDaysOff add={add} example={example} onAdd={(one) => onChange([...coming, one])} />
    </>
  );
}

type AddProps = { readonly add: string; readonly example: string; readonly onAdd: (off: DaysOff) => void };

function AddDaysOff({ add, example, onAdd }: AddProps) {
  const from = useSignal("");
  const to = useSignal("");
  const name = useSignal("");
  const isTurned = Boolean(to.value) && to.value < from.value;
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        event.stopPropagation();
        if (!from.value || isTurned) return;
        onAdd({ from: from.value, to: to.value || from.value, name: name.value.trim() });
        from.value = "";
        to.value = "";
        name.value = "";
      }}
    >
      <DateField label="First day off" value={from} />
      {from.value && (
        <>
          <DateField label="Last day off, if not the same" value={to} />
          {isTurned && (
            <p class="trouble" role="alert">
              The last day is before the first one.
            </p>
          )}
          <Field
            label="What for"
            hint={example}
            value={name.value}
            onText={(text) => {
              name.value = text;
            }}
          />
          <Submit kind="plain">{add}</Submit>
        </>
      )}
    </form>
  );
}

function DateField({ label, value }: { readonly label: string; readonly value: { value: string } }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="date"
        value={value.value}
        onInput={({ currentTarget }) => {
          value.value = currentTarget.value;
        }}
      />
    </div>
  );
}
