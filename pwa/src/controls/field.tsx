import "./field.css";
import { useId } from "preact/hooks";
import { Refused } from "../findings.ts";
import { dimName, read } from "../recipe/measure.ts";

type FieldProps = {
  readonly label: string;
  readonly value: string;
  readonly onText: (text: string) => void;
  readonly hint?: string;
  readonly error?: string;
  readonly rows?: number;
  readonly keys?: "text" | "decimal" | "numeric";
  readonly focused?: boolean;
  readonly upper?: boolean;
};

/** A labelled place to write, with its hint and what is wrong with what stands there. */
export function Field({ label, value, onText, hint, error, rows, keys = "text", focused, upper }: FieldProps) {
  const id = useId();
  const shared = {
    id,
    value,
    "aria-describedby": `${id}-hint ${id}-trouble`,
    "aria-invalid": Boolean(error),
    autofocus: focused ?? false,
    autocomplete: "off",
    onInput: (event: Event) => onText((event.currentTarget as HTMLInputElement).value),
  } as const;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {rows ? (
        <textarea rows={rows} {...shared} />
      ) : (
        <input type="text" inputMode={keys} autocapitalize={upper ? "characters" : "sentences"} {...shared} />
      )}
      <p id={`${id}-hint`} class="hint">
        {hint}
      </p>
      <p id={`${id}-trouble`} class="trouble" role="alert">
        {error}
      </p>
    </div>
  );
}

type ChoiceProps = {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [string, string])[];
  readonly onChoice: (value: string) => void;
};

/** One of several, all in sight. */
export function Choice({ label, value, options, onChoice }: ChoiceProps) {
  const name = useId();
  return (
    <fieldset class="choice">
      <legend>{label}</legend>
      {options.map(([key, words]) => (
        <label key={key}>
          <input type="radio" name={name} value={key} checked={key === value} onChange={() => onChoice(key)} />
          <span>{words}</span>
        </label>
      ))}
    </fieldset>
  );
}

/** A figure that was read, in mm, degrees or percent; or what is wrong with what was written. */
export type Figure = { readonly value: number } | { readonly error: string };

/** Reads a figure, in mm, degrees or percent; a bare number counts in `units`. dim: what is wanted, such as "length". */
export function readFigure(text: string, dim: string, units: "mm" | "in"): Figure {
  try {
    const quantity = read(text);
    const got = dimName(quantity.dim);
    if (got === dim) return { value: quantity.value };
    if (got === "number" && dim === "length") return { value: quantity.value * (units === "in" ? 25.4 : 1) };
    if (got === "number" && (dim === "angle" || dim === "percentage")) return { value: quantity.value };
    return { error: `“${text}” is ${AS[got] ?? got}, wanted ${AS[dim] ?? dim}.` };
  } catch (error) {
    if (error instanceof Refused) return { error: error.message };
    throw error;
  }
}

const AS: Readonly<Record<string, string>> = {
  length: "a length, such as 19 mm or 3/4 in",
  angle: "an angle, such as 7 deg",
  time: "a time, such as 10 min",
  percentage: "a percentage, such as 9 %",
  number: "a bare number",
};

type PickProps = {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [string, string])[];
  readonly onPick: (value: string) => void;
};

/** One of many, in the phone's own list. */
export function PickOne({ label, value, options, onPick }: PickProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={({ currentTarget }) => onPick(currentTarget.value)}>
        {options.map(([key, words]) => (
          <option key={key} value={key}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}
