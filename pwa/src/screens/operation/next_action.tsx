import { useSignal } from "@preact/signals";
import { isOld } from "../../bench/air.ts";
import type { What } from "../../bench/book.ts";
import type { Step } from "../../bench/happening_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import { advice, builds, now, shop } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import { operationPath, partPath } from "../paths.ts";
import { wordsOfStep } from "../words/buttons.ts";
import { fullTitle, titleOf } from "../words/names.ts";
import { AskForAir } from "./ask_for_air.tsx";
import { MeasureAgain } from "./measure_again.tsx";
import { objectionTo, UNTIL_IT_IS_ON, unfitAt, waitsForOthers } from "./objections.ts";
import { BeginDialog, EarlyDialog, FinishDialog, UnfitAirDialog } from "./reason_dialogs.tsx";
import { nextStep, subjectsOf } from "./steps.ts";

type NextActionProps = { readonly view: BuildView; readonly operation: Operation };

/** The one main button: it changes as the operation goes on, and asks first where something speaks against it. */
export function NextAction({ view, operation }: NextActionProps) {
  const asked = useSignal<Step | null>(null);
  const state = view.bench.operations[operation.id];
  if (!state) return null;
  if (state.status === "spoiled") return <SpoiledPartLink view={view} lost={state.lost} />;
  if (state.to_measure?.length) return <MeasureAgain view={view} operation={operation} />;
  const step = nextStep(operation, state);
  if (step === null) return <OnwardAction view={view} operation={operation} />;
  const { button, hint } = wordsOfStep(step, operation);
  const objection = objectionTo(view, operation, step);
  const unfit = waitsForOthers(view, operation, step) ? null : unfitAt(view, operation, step);
  const close = () => (asked.value = null);
  const take = (reason = "") => {
    void recordStep(view, operation, step, reason, unfit ? `Too ${unfit.is} for the ${unfit.stuff}` : "Begun early");
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
      {asked.value === "finished" && <FinishDialog view={view} operation={operation} onFinish={take} onClose={close} />}
    </div>
  );
}

/** Records the step; the reason for beginning early or in unfit air is kept as a note. against: what it is a reason for. */
async function recordStep(
  view: BuildView,
  operation: Operation,
  step: Step,
  reason: string,
  against: string,
): Promise<void> {
  const about = subjectsOf(operation);
  if (UNTIL_IT_IS_ON.has(step) && reason)
    await record(view.id, { kind: "noted", text: `${against}: ${reason}` }, about);
  await record(view.id, happeningOf(operation.id, step, reason), about);
}

function happeningOf(operation: string, step: Step, reason: string): What {
  if (step === "clamps-off" || step === "finished") return { kind: step, operation, reason };
  return step === "glue-on" || step === "coat-on" ? { kind: step, operation, ...air() } : { kind: step, operation };
}

/** The last reading of the air, when it is not too old to say anything. */
function air(): { celsius: number | null; humidity: number | null } {
  const last = shop.value.readings.at(-1);
  if (!last || isOld(last, now.value)) return { celsius: null, humidity: null };
  return { celsius: last.celsius, humidity: last.humidity ?? null };
}

/** After the last step: a link to the operation that is next. */
function OnwardAction({ view, operation }: NextActionProps) {
  const next = advice.value.now.find((choice) => choice.operation !== operation.id || choice.build !== view.id);
  const sheet = builds.value.find(({ id }) => id === next?.build)?.sheet;
  return (
    <div class="deeds">
      <p class="hint">
        <Icon name="done" /> This is done.
      </p>
      {next && sheet ? (
        <Link to={operationPath(next.build, next.operation)} class="button main" icon="onward">
          <span>Next: {fullTitle(sheet, next.operation)}</span>
        </Link>
      ) : (
        <Link to="/" class="button main" icon="bench">
          <span>To the bench</span>
        </Link>
      )}
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
