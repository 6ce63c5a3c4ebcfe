import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";

/** Temperature and humidity, as a person reads them off the wall. */
export function AirForm({ onKept }: { onKept: () => void }) {
  const celsius = useSignal("");
  const humidity = useSignal("");
  const errors = useSignal<readonly [string, string]>(["", ""]);
  const keep = (event: Event) => {
    event.preventDefault();
    const found = [
      outside(celsius.value, -20, 60, "The temperature", "°C", true),
      outside(humidity.value, 0, 100, "The humidity", "%", false),
    ] as const;
    errors.value = found;
    if (found.some(Boolean)) return;
    const percent = humidity.value.trim() ? figure(humidity.value) : null;
    void record("", { kind: "conditions", celsius: figure(celsius.value), humidity: percent }, []);
    onKept();
  };
  return (
    <form class="stack" onSubmit={keep}>
      <div class="pair">
        <Field
          label="Temperature, °C"
          keys="decimal"
          value={celsius.value}
          error={errors.value[0]}
          onText={(text) => (celsius.value = text)}
        />
        <Field
          label="Humidity, %"
          keys="decimal"
          value={humidity.value}
          hint="May stay empty."
          error={errors.value[1]}
          onText={(text) => (humidity.value = text)}
        />
      </div>
      <Submit>Keep this reading</Submit>
    </form>
  );
}

function figure(text: string): number {
  return Number(text.trim().replace(",", ".").replace("−", "-"));
}

/** A sentence when what was written is no number within bounds, else "". */
function outside(text: string, least: number, most: number, name: string, unit: string, needed: boolean): string {
  if (!text.trim()) return needed ? `${name} is empty. Write a number, such as ${least < 0 ? 19 : 55}.` : "";
  const value = figure(text);
  if (Number.isNaN(value)) return `“${text}” is no number. Write one such as ${least < 0 ? 19 : 55}.`;
  return value < least || value > most ? `${name} is ${value} ${unit}, wanted ${least} to ${most}.` : "";
}
