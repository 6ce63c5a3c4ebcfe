import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import { advice, builds, now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Happening, Operation } from "../../wire.gen.ts";
import { operationPath, partPath } from "../paths.ts";
import { TOO_COLD } from "../words/clocks.ts";
import { counted, fullTitle, listed, titleOf } from "../words/names.ts";
import { BeginDialog, EarlyDialog, FinishDialog } from "./asks.tsx";
import { holding, keepingClamps } from "./held.ts";
import { concerns, nextStep, STEP_WORDS, type Step } from "./steps.ts";

type What = NonNullable<Happening["what"]>;
type NextActionProps = { readonly view: BuildView; readonly operation: Operation };

/** The one main button: it changes as the operation goes on, and asks first where something speaks against it. */
export function NextAction({ view, operation }: NextActionProps) {
  const asked = useSignal<Step | null>(null);
  const state = view.bench.operations[operation.id];
  if (!state) return null;
  if (state.status === "spoiled") return <RemakeAction view={view} lost={state.lost} />;
  const step = nextStep(operation, state);
  if (step === null) return <OnwardAction view={view} operation={operation} />;
  const [words, hint] = STEP_WORDS[step];
  const against = whatSpeaksAgainst(view, operation, step);
  const close = () => (asked.value = null);
  const take = (reason = "") => {
    void recordStep(view, operation, step, reason);
    close();
    if (operation.clocks.some(({ starts }) => starts === step)) scrollTo(0, 0);
  };
  const tap = () => {
    if (against) asked.value = step;
    else take();
  };
  return (
    <div class="deeds">
      <p class="hint">{against ?? hint}</p>
      <Button kind="main" icon={step === "finished" ? "done" : "onward"} onTap={tap}>
        {words}
      </Button>
      {asked.value === "began" && <BeginDialog view={view} operation={operation} onReason={take} onClose={close} />}
      {asked.value === "clamps-off" && (
        <EarlyDialog view={view} operation={operation} onReason={take} onClose={close} />
      )}
      {asked.value === "finished" && <FinishDialog view={view} operation={operation} onFinish={take} onClose={close} />}
    </div>
  );
}

/** One sentence against taking this step now; null when nothing speaks against it. */
function whatSpeaksAgainst(view: BuildView, operation: Operation, step: Step): string | null {
  const state = view.bench.operations[operation.id];
  if (step === "began" && state) {
    const [first] = state.waits_for;
    if (first) return `Waits for: ${titleOf(view.sheet, first)}.`;
    const [held] = holding(view, operation);
    return held?.least
      ? `Held until ${clockTime(held.least, now.value)}: ${titleOf(view.sheet, held.operation)}.`
      : null;
  }
  if (step === "clamps-off") {
    const clock = keepingClamps(view, operation);
    if (!clock) return null;
    return clock.too_cold ? TOO_COLD : `Not before ${clockTime(clock.least ?? now.value, now.value)}.`;
  }
  return step === "finished" ? whatIsLeft(operation, state) : null;
}

function whatIsLeft(operation: Operation, state: BuildView["bench"]["operations"][string] | undefined): string | null {
  const parts = state?.left.length ?? 0;
  const checks = (operation.checks ?? []).filter((_, n) => state?.checks[String(n)] !== true).length;
  const words = [...(parts ? [counted(parts, "part")] : []), ...(checks ? [counted(checks, "check")] : [])];
  return words.length ? `Still open: ${listed(words)}.` : null;
}

/** Records the step; beginning against advice keeps the reason as a note. */
async function recordStep(view: BuildView, operation: Operation, step: Step, reason: string): Promise<void> {
  const about = concerns(operation);
  if (step === "began" && reason) await record(view.id, { kind: "noted", text: `Begun early: ${reason}` }, about);
  await record(view.id, happeningOf(operation.id, step, reason), about);
}

function happeningOf(operation: string, step: Step, reason: string): What {
  if (step === "clamps-off" || step === "finished") return { kind: step, operation, reason };
  return step === "glue-on" || step === "coat-on" ? { kind: step, operation, ...air() } : { kind: step, operation };
}

const STALE_MS = 12 * 3_600_000;

/** The last reading of the air, when it is not too old to say anything. */
function air(): { celsius: number | null; humidity: number | null } {
  const last = shop.value.readings.at(-1);
  if (!last || now.value - last.ms > STALE_MS) return { celsius: null, humidity: null };
  return { celsius: last.celsius, humidity: last.humidity ?? null };
}

/** After the last step: straight on to what is next for your hands. */
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

function RemakeAction({ view, lost }: { view: BuildView; lost: readonly string[] }) {
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
