import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { type SizeNow, sizesOf } from "../../bench/sizes.ts";
import { Button } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { unitsOf } from "../../live/state.ts";
import { boundsText, hasBounds, isWithin } from "../../recipe/bounds.ts";
import type { Units } from "../../recipe/measure.ts";
import type { Operation, Size } from "../../wire.gen.ts";
import { namesMade } from "../words/cut_sizes.ts";
import { sizeName } from "../words/happenings.ts";
import { listed } from "../words/names.ts";
import { shown } from "../words/sizes.ts";
import { MeasureDialog } from "./measure.tsx";

/** The sizes worth knowing here, as built where measured; those to be taken here have a button. of: whose. */
export function Sizes({ view, operation, of = "" }: { view: BuildView; operation: Operation; of?: string }) {
  const asked = useSignal<Size | null>(null);
  const toMeasure = operation.measure ?? [];
  const made = namesMade(view, operation);
  const names = [
    ...toMeasure,
    ...(operation.sizes ?? []).filter((name) => !toMeasure.includes(name) && !made.has(name)),
  ];
  const sizes = sizesOf(view.sheet, view.bench.as_built, operation.piece);
  const rows = names.flatMap((name) => view.sheet.sizes.filter((size) => size.name === name));
  if (rows.length === 0) return null;
  return (
    <section class="block">
      <h2>Sizes {of && <span>{of}</span>}</h2>
      <dl class="sizes">
        {rows.map((size) => (
          <div key={size.name}>
            <dt>
              {sizeName(size.name)}
              {size.measure && <small>{size.measure}</small>}
            </dt>
            <dd>
              <SizeValue
                size={size}
                now={sizes.get(size.name)}
                others={othersOf(view, operation, size)}
                units={unitsOf(view.sheet)}
              />
            </dd>
            {toMeasure.includes(size.name) && (
              <dd class="wide">
                <Button
                  icon="rule"
                  onTap={() => {
                    asked.value = size;
                  }}
                >
                  Measure
                </Button>
              </dd>
            )}
          </div>
        ))}
      </dl>
      {asked.value && (
        <MeasureDialog
          view={view}
          operation={operation}
          size={asked.value}
          onClose={() => {
            asked.value = null;
          }}
        />
      )}
    </section>
  );
}

/** Different values that were measured before. */
function othersOf(view: BuildView, operation: Operation, size: Size): readonly number[] {
  return view.bench.as_built[`${size.once ? "" : operation.piece}|${size.name}`]?.others ?? [];
}

type ValueProps = { size: Size; now: SizeNow | undefined; others: readonly number[]; units: Units };

function SizeValue({ size, now, others, units }: ValueProps) {
  const text = (value: number | null) => shown(value, size.dim, units);
  if (!now) return <strong class="figure">{text(size.plan)}</strong>;
  return (
    <>
      <strong class="figure">{text(now.value)}</strong>
      {now.measured && <small>as built, plan {text(now.plan)}</small>}
      {!now.measured && now.changed && <small>from sizes as built, plan {text(now.plan)}</small>}
      {now.trouble && <small class="look">{now.trouble}</small>}
      {now.off && (
        <small class="look">
          <Icon name="warn" /> further off than the recipe allows
        </small>
      )}
      {hasBounds(size) && (
        <small class={now.measured && now.value !== null && !isWithin(size, now.value) ? "look" : ""}>
          {boundsText(size, units)}
        </small>
      )}
      {others.length > 0 && (
        <small class="look">
          <Icon name="warn" /> measured before as {listed(others.map(text))}: look again
        </small>
      )}
    </>
  );
}
