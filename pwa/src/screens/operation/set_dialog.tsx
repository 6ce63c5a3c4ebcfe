import { useSignal } from "@preact/signals";
import { setValues, sizesOf } from "../../bench/sizes.ts";
import { Submit } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Field, type Figure, readFigure } from "../../controls/field.tsx";
import { unitsOf } from "../../live/state.ts";
import type { Units } from "../../recipe/measure.ts";
import type { Setup } from "../../wire.gen.ts";
import { shown } from "../words/sizes.ts";
import type { Work } from "../words/whose.ts";

/** By name, in base units. */
export type SetValues = Readonly<Record<string, number>>;

type SetProps = Work & {
  readonly setup: Setup;
  readonly onSet: (values: SetValues, proved: boolean) => void;
  readonly onClose: () => void;
};

/** Write down what the station was really set to; a place left empty counts as planned. */
export function SetDialog({ view, operation, setup, onSet, onClose }: SetProps) {
  const written = useSignal<Readonly<Record<string, string>>>({});
  const proved = useSignal(false);
  const errors = useSignal<Readonly<Record<string, string>>>({});
  const planned = setValues(setup, sizesOf(view.sheet, view.bench.as_built, operation.piece));
  const keep = (event: Event) => {
    event.preventDefault();
    const read = setup.set.map(
      ({ name, dim }) => [name, asSet(written.value[name], dim, planned[name] ?? null, unitsOf(view.sheet))] as const,
    );
    errors.value = Object.fromEntries(read.flatMap(([name, got]) => ("error" in got ? [[name, got.error]] : [])));
    if (Object.keys(errors.value).length > 0) return;
    const values = Object.fromEntries(read.flatMap(([name, got]) => ("value" in got ? [[name, got.value]] : [])));
    onSet(values, proved.value);
    onClose();
  };
  return (
    <Dialog title={`Set the ${setup.station}`} onClose={onClose}>
      <form class="stack" onSubmit={keep}>
        {setup.set.map(({ name, dim }) => (
          <Field
            key={name}
            label={name}
            value={written.value[name] ?? ""}
            hint={`Planned ${shown(planned[name], dim, unitsOf(view.sheet))}; empty counts as planned.`}
            error={errors.value[name] ?? ""}
            onText={(text) => (written.value = { ...written.value, [name]: text })}
          />
        ))}
        <label class="tickbox">
          <input type="checkbox" checked={proved.value} onChange={() => (proved.value = !proved.value)} />
          <span>Proof cut on scrap fits{setup.prove && <small>{setup.prove}</small>}</span>
        </label>
        <Submit>Keep as set</Submit>
      </form>
    </Dialog>
  );
}

function asSet(text: string | undefined, dim: string, planned: number | null, units: Units): Figure {
  return text?.trim()
    ? readFigure(text, dim, units)
    : planned === null
      ? { error: "The plan has no figure here. Write what it is set to." }
      : { value: planned };
}
