import { useSignal } from "@preact/signals";
import type { Step } from "../../bench/happening_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import type { Operation } from "../../wire.gen.ts";
import { partPath } from "../paths.ts";
import { wordsOfStep } from "../words/buttons.ts";
import { titleOf } from "../words/names.ts";
import { AskForAir } from "./ask_for_air.tsx";
import { FinishDialog } from "./finish_dialog.tsx";
import { MeasureAgain } from "./measure_again.tsx";
import { objectionTo, UNTIL_IT_IS_ON, unfitAt, waitsForOthers } from "./objections.ts";
import { OnwardAction } from "./onward.tsx";
import { BeginDialog, EarlyDialog, UnfitAirDialog } from "./reason_dialogs.tsx";
import { recordStep } from "./record_step.ts";
import { nextStep } from "./steps.ts";

type NextActionProps = { readonly view: BuildView; readonly operation: Operation };

/** The one main button: it changes as the operation goes on, and asks first where something speaks against it. */
export function NextAction({ view, operation }: NextActionProps) {
  const asked = useSignal<Step | null>(null);
  const state = view.bench.operations[operation.id];
  if (!state) return null;
  if (state.status === "spoiled") return <SpoiledPartLink view={view} lost={state.lost} />;
  if (state.to_measure?.length) return <MeasureAgain view={view} operation={operation} />;
  const step = nextStep(operation, state);
  if (step === null) return <OnwardAction after={[{ view, operation }]} />;
  const { button, hint } = wordsOfStep(step, operation);
  const objection = objectionTo(view, operation, step);
  const unfit = waitsForOthers(view, operation, step) ? null : unfitAt(view, operation, step);
  const close = () => (asked.value = null);
  const take = (reason = "") => {
    void recordStep(
      [{ view, operation }],
      step,
      reason,
      unfit ? `Too ${unfit.is} for the ${unfit.stuff}` : "Begun early",
    );
    close();
    if (operation.clocks.some(({ starts }) => starts === step)) scrollTo(0, 0);
  };
  const tap = () => {
    if (objection) asked.value = step;
    else take();
  };
  return (
    <div class="deeds">
      {UNTIL_IT_IS_ON.has(step) && <AskForAir operation={operation} />}
      <p class="hint">{objection ?? hint}</p>
      <Button kind="main" icon={step === "finished" ? "done" : "onward"} onTap={tap}>
        {button}
      </Button>
      {asked.value === "began" && !unfit && (
        <BeginDialog view={view} operation={operation} onReason={take} onClose={close} />
      )}
      {asked.value !== null && unfit && <UnfitAirDialog unfit={unfit} onReason={take} onClose={close} />}
      {asked.value === "clamps-off" && (
        <EarlyDialog view={view} operation={operation} onReason={take} onClose={close} />
      )}
      {asked.value === "finished" && <FinishDialog works={[{ view, operation }]} onFinish={take} onClose={close} />}
    </div>
  );
}

function SpoiledPartLink({ view, lost }: { view: BuildView; lost: readonly string[] }) {
  const [first] = lost;
  if (first === undefined) return null;
  return (
    <div class="deeds">
      <p class="hint">{titleOf(view.sheet, first)} is spoiled. Make it again before this can go on.</p>
      <Link to={partPath(view.id, first)} class="button main" icon="onward">
        <span>To {titleOf(view.sheet, first)}</span>
      </Link>
    </div>
  );
}
