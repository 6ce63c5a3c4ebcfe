import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Choice, Field } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";
import { persisted } from "../../live/signals.ts";
import { builds, shownIn, unitsOf } from "../../live/state.ts";

type ScaleName = "°C" | "°F";

/** A thermometer's scale: the range of a reading, a usual one, and what it is in °C. */
const SCALES = {
  "°C": { unit: "°C", least: -20, most: 60, usual: 19, celsius: (value: number) => value },
  "°F": {
    unit: "°F",
    least: -4,
    most: 140,
    usual: 66,
    celsius: (value: number) => Math.round((value - 32) / 0.18) / 10,
  },
} as const;

/** The scale of the shop's thermometer, once somebody has said it on this device. */
const thermometer = persisted<ScaleName | "">("thermometer", "", (kept) => kept === "°C" || kept === "°F");

/** The scale that was last chosen; until then °F where all that is shown here is in inches. */
function scaleNow(): ScaleName {
  if (thermometer.value) return thermometer.value;
  const open = builds.value.map(({ sheet }) => unitsOf(sheet));
  return open.every((units) => units === "in") && (open.length > 0 || shownIn.value === "in") ? "°F" : "°C";
}

/** Temperature and humidity, as a person reads them off the wall, in °C or °F. */
export function AirForm({ onKept }: { onKept: () => void }) {
  const scale = SCALES[scaleNow()];
  const temperature = useSignal("");
  const humidity = useSignal("");
  const errors = useSignal<readonly [string, string]>(["", ""]);
  const keep = (event: Event) => {
    event.preventDefault();
    const found = [
      outside(temperature.value, { ...scale, name: "The temperature", needed: true }),
      outside(humidity.value, { least: 0, most: 100, usual: 55, name: "The humidity", unit: "%", needed: false }),
    ] as const;
    errors.value = found;
    if (found.some(Boolean)) return;
    const percent = humidity.value.trim() ? figure(humidity.value) : null;
    void record("", { kind: "conditions", celsius: scale.celsius(figure(temperature.value)), humidity: percent }, []);
    onKept();
  };
  return (
    <form class="stack" onSubmit={keep}>
      <Choice
        label="The thermometer shows"
        short
        value={scale.unit}
        options={[
          ["°C", "°C"],
          ["°F", "°F"],
        ]}
        onChoice={(value) => {
          thermometer.value = value === "°F" ? "°F" : "°C";
        }}
      />
      <div class="pair">
        <Field
          label={`Temperature, ${scale.unit}`}
          keys="decimal"
          value={temperature.value}
          error={errors.value[0]}
          onText={(text) => (temperature.value = text)}
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

type Bounds = {
  readonly name: string;
  readonly unit: string;
  readonly least: number;
  readonly most: number;
  readonly usual: number;
  readonly needed: boolean;
};

/** A sentence when what was written is no number within bounds, else "". */
function outside(text: string, { name, unit, least, most, usual, needed }: Bounds): string {
  if (!text.trim()) return needed ? `${name} is empty. Write a number, such as ${usual}.` : "";
  const value = figure(text);
  if (Number.isNaN(value)) return `“${text}” is no number. Write one such as ${usual}.`;
  return value < least || value > most ? `${name} is ${value} ${unit}, wanted ${least} to ${most}.` : "";
}
