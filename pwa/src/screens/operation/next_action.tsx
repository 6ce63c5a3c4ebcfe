import { useSignal } from "@preact/signals";
import type { Step } from "../../bench/happening_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import type { Operation } from "../../wire.gen.ts";
import { partPath } from "../paths.ts";
import { wordsOfStep } from "../words/buttons.ts";
import { titleOf } from "../words/names.ts";
import type { Work } from "../words/whose.ts";
import { AskForAir } from "./ask_for_air.tsx";
import { ClampsDialog } from "./clamps_dialog.tsx";
import { FinishDialog } from "./finish_dialog.tsx";
import { MeasureAgain } from "./measure_again.tsx";
import { objectionTo, type Question, questionsAt, shortAt, UNTIL_IT_IS_ON, unfitAt } from "./objections.ts";
import { OnwardAction } from "./onward.tsx";
import { BeginDialog, EarlyDialog, UnfitAirDialog } from "./reason_dialogs.tsx";
import { recordStep } from "./record_step.ts";
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
  if (step === null) return <OnwardAction after={[{ view, operation }]} />;
  const { button, hint } = wordsOfStep(step, operation);
  const questions = asked.value?.step === step ? asked.value.questions : [];
  const open = questions.filter((one) => !given.value.some(({ against }) => against === one));
  const close = () => {
    [asked.value, given.value] = [null, []];
  };
  const take = () => {
    const work = { view, operation };
    const answers = given.value.map((one) => ({ ...one, against: againstWords(work, step, one.against) }));
    void recordAnswered(work, step, answers);
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
  return question === "left" ? (
    <FinishDialog works={[{ view, operation }]} onFinish={onReason} onClose={onClose} />
  ) : null;
}

/** Records the step of an operation; of several reasons all but the last by themselves. Never rejects. */
async function recordAnswered(
  { view, operation }: Work,
  step: Step,
  given: readonly { readonly against: string; readonly reason: string }[],
): Promise<void> {
  const last = given.at(-1);
  for (const { against, reason } of given.slice(0, -1))
    await record(view.id, { kind: "noted", text: `${against}: ${reason}` }, subjectsOf(operation));
  await recordStep([{ view, operation }], step, last?.reason ?? "", last?.against ?? "");
}

/** What a reason is given against, as the note has it. */
function againstWords({ view, operation }: Work, step: Step, question: Question): string {
  const unfit = question === "air" ? unfitAt(view, operation, step) : null;
  if (unfit) return `Too ${unfit.is} for the ${unfit.stuff}`;
  return question === "clamps" ? "Too few clamps" : "Begun early";
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
