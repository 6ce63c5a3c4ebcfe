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
import { ClampsDialog } from "./clamps_dialog.tsx";
import { MeasureAgain } from "./measure_again.tsx";
import { objectionTo, type Question, questionsAt, shortAt, UNTIL_IT_IS_ON, unfitAt } from "./objections.ts";
import { BeginDialog, EarlyDialog, FinishDialog, UnfitAirDialog } from "./reason_dialogs.tsx";
import { nextStep, subjectsOf } from "./steps.ts";

type NextActionProps = { readonly view: BuildView; readonly operation: Operation };

/** What a person gave as a reason, and against which objection. */
type Given = { readonly against: Question; readonly reason: string };

/** The one main button: it changes as the operation goes on, and asks first where something speaks against it. */
export function NextAction({ view, operation }: NextActionProps) {
  const asked = useSignal<{ readonly step: Step; readonly questions: readonly Question[] } | null>(null);
  const given = useSignal<readonly Given[]>([]);
  const state = view.bench.operations[operation.id];
  if (!state) return null;
  if (state.status === "spoiled") return <SpoiledPartLink view={view} lost={state.lost} />;
  if (state.to_measure?.length) return <MeasureAgain view={view} operation={operation} />;
  const step = nextStep(operation, state);
  if (step === null) return <OnwardAction view={view} operation={operation} />;
  const { button, hint } = wordsOfStep(step, operation);
  const questions = asked.value?.step === step ? asked.value.questions : [];
  const open = questions.filter((one) => !given.value.some(({ against }) => against === one));
  const close = () => {
    [asked.value, given.value] = [null, []];
  };
  const take = () => {
    void recordStep(view, operation, step, given.value);
    close();
    if (operation.clocks.some(({ starts }) => starts === step)) scrollTo(0, 0);
  };
  const answer = (against: Question, reason = "") => {
    given.value = [...given.value, { against, reason }];
    if (open.length < 2) take();
  };
  const tap = () => {
    const found = questionsAt(view, operation, step);
    if (found.length) asked.value = { step, questions: found };
    else take();
  };
  return (
    <div class="deeds">
      {UNTIL_IT_IS_ON.has(step) && <AskForAir operation={operation} />}
      <p class="hint">{objectionTo(view, operation, step) ?? hint}</p>
      <Button kind="main" icon={step === "finished" ? "done" : "onward"} onTap={tap}>
        {button}
      </Button>
      {open[0] && (
        <Ask
          key={open[0]}
          question={open[0]}
          view={view}
          operation={operation}
          step={step}
          onAnswer={answer}
          onClose={close}
        />
      )}
    </div>
  );
}

type AskProps = NextActionProps & {
  readonly question: Question;
  readonly step: Step;
  readonly onAnswer: (against: Question, reason?: string) => void;
  readonly onClose: () => void;
};

/** The dialog of one objection. */
function Ask({ question, view, operation, step, onAnswer, onClose }: AskProps) {
  const onReason = (reason?: string) => onAnswer(question, reason);
  const shared = { view, operation, onReason, onClose };
  const unfit = unfitAt(view, operation, step);
  const short = shortAt(view, operation, step);
  if (question === "turn") return <BeginDialog {...shared} />;
  if (question === "clamps" && short) {
    const action = step === "began" ? "Begin with other clamps" : "Glue with other clamps";
    return <ClampsDialog short={short} action={action} onReason={onReason} onClose={onClose} />;
  }
  if (question === "air" && unfit) return <UnfitAirDialog unfit={unfit} onReason={onReason} onClose={onClose} />;
  if (question === "early") return <EarlyDialog {...shared} />;
  return question === "left" ? <FinishDialog {...shared} onFinish={onReason} /> : null;
}

/** Records the step; reasons for beginning it early, with too few clamps or in unfit air are kept as notes. */
async function recordStep(view: BuildView, operation: Operation, step: Step, given: readonly Given[]): Promise<void> {
  const about = subjectsOf(operation);
  for (const one of given) {
    const text = noteOf(view, operation, step, one);
    if (UNTIL_IT_IS_ON.has(step) && one.reason) await record(view.id, { kind: "noted", text }, about);
  }
  await record(view.id, happeningOf(operation.id, step, given.at(-1)?.reason ?? ""), about);
}

/** "Too few clamps: Borrowed some". */
function noteOf(view: BuildView, operation: Operation, step: Step, { against, reason }: Given): string {
  const unfit = against === "air" ? unfitAt(view, operation, step) : null;
  if (unfit) return `Too ${unfit.is} for the ${unfit.stuff}: ${reason}`;
  return `${against === "clamps" ? "Too few clamps" : "Begun early"}: ${reason}`;
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
