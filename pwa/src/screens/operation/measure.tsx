import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Submit } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Field, readFigure } from "../../controls/field.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import { units } from "../../live/state.ts";
import { boundsText, hasBounds, isWithin } from "../../recipe/bounds.ts";
import type { Operation, Size } from "../../wire.gen.ts";
import { sizeName } from "../words/happenings.ts";
import { shown } from "../words/sizes.ts";

type MeasureProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly size: Size;
  readonly onClose: () => void;
};

/** Records a size measured at the bench; shows the plan and what is allowed, and warns when it is further off. */
export function MeasureDialog({ view, operation, size, onClose }: MeasureProps) {
  const text = useSignal("");
  const error = useSignal("");
  const got = readFigure(text.value, size.dim, units.value);
  const figure = (value: number) => shown(value, size.dim, units.value);
  const keep = (event: Event) => {
    event.preventDefault();
    if ("error" in got) {
      error.value = got.error;
      return;
    }
    const piece = size.once ? "" : operation.piece;
    const about = [operation.id, ...operation.parts, size.name];
    void record(view.id, { kind: "measured", size: size.name, piece, value: got.value }, about);
    onClose();
  };
  return (
    <Dialog title={sizeName(size.name)} onClose={onClose}>
      <form class="stack" onSubmit={keep}>
        {size.measure && <p>{size.measure}</p>}
        <p>
          Plan <strong class="figure">{figure(size.plan)}</strong>
          {size.within != null && `, may be off by ${figure(size.within)}`}
          {hasBounds(size) && `, ${boundsText(size, units.value)}`}
        </p>
        <Field
          label="As measured"
          value={text.value}
          focused
          hint={HINTS[size.dim]?.(units.value) ?? ""}
          error={error.value}
          onText={(written) => {
            text.value = written;
            error.value = "";
          }}
        />
        {"value" in got && <OffPlan size={size} off={Math.abs(got.value - size.plan)} figure={figure} />}
        {"value" in got && !isWithin(size, got.value) && <OutOfBounds size={size} />}
        <Submit>Keep this size</Submit>
      </form>
    </Dialog>
  );
}

const HINTS: Readonly<Record<string, (units: "mm" | "in") => string>> = {
  length: (units) => `Such as ${units === "in" ? "1 3/4 in" : "44.5"}; a bare number counts as ${units}.`,
  angle: () => "Such as 7.5; a bare number counts as degrees.",
  percentage: () => "Such as 9.5; a bare number counts as percent.",
};

function OutOfBounds({ size }: { readonly size: Size }) {
  return (
    <p class="look" role="status">
      <Icon name="warn" />
      <span>It is to be {boundsText(size, units.value)}: keep it, and what comes after waits until it is.</span>
    </p>
  );
}

type OffProps = { readonly size: Size; readonly off: number; readonly figure: (value: number) => string };

function OffPlan({ size, off, figure }: OffProps) {
  if (size.within == null || off <= size.within) return null;
  return (
    <p class="look" role="status">
      <Icon name="warn" />
      <span>
        {figure(off)} off the plan, {figure(size.within)} is allowed. Measure again, or keep it: what follows from it is
        worked out again.
      </span>
    </p>
  );
}
