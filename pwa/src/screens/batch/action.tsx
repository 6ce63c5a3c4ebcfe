import { useSignal } from "@preact/signals";
import { Button, Link } from "../../controls/button.tsx";
import { AskForAir } from "../operation/ask_for_air.tsx";
import { FinishDialog } from "../operation/finish_dialog.tsx";
import { UNTIL_IT_IS_ON, unfitAt, waitsForOthers } from "../operation/objections.ts";
import { OnwardAction } from "../operation/onward.tsx";
import { UnfitAirDialog } from "../operation/reason_dialogs.tsx";
import { recordStep } from "../operation/record_step.ts";
import { operationPath } from "../paths.ts";
import { wordsOfStep } from "../words/buttons.ts";
import { type Work, whose } from "../words/whose.ts";
import { isFree, objectionsTo, stillOpen } from "./against.ts";
import { type Due, dueOf, keyOf, stuckIn, toBegin } from "./members.ts";

type Works = { readonly works: readonly Work[] };

/**
 * The one main button: it records the next step of all for which nothing speaks against it, and says what does for the
 * others, which stay as they are.
 */
export function BatchAction({ works }: Works) {
  const due = dueOf(works);
  if (due) return <DueAction works={works} due={due} />;
  const stuck = stuckIn(works);
  return stuck.length ? <ToOneAlone works={stuck} among={works} /> : <OnwardAction after={works} />;
}

function DueAction({ works, due: { step, works: due } }: Works & { readonly due: Due }) {
  const asked = useSignal<"finish" | "air" | null>(null);
  const free = due.filter((work) => isFree(work, step));
  const held = due.filter((work) => !free.includes(work));
  const inAir = held.filter((work) => !waitsForOthers(work.view, work.operation, step));
  const [first = works[0]] = inAir;
  const unfit = first && free.length === 0 ? unfitAt(first.view, first.operation, step) : null;
  const against = step === "finished" ? stillOpen(held, works) : objectionsTo(held, works, step);
  if (!first || (free.length === 0 && step !== "finished" && !unfit))
    return <ToOneAlone works={[...due, ...stuckIn(works)]} among={works} why={against} />;
  const { button, hint } = wordsOfStep(step, first.operation);
  const taken = free.length ? free : unfit ? inAir : due;
  const close = () => (asked.value = null);
  const give = (all: readonly Work[], reason: string) => {
    close();
    void recordStep(all, step, reason, unfit ? `Too ${unfit.is} for the ${unfit.stuff}` : "");
    if (first.operation.clocks.some(({ starts }) => starts === step)) scrollTo(0, 0);
  };
  const takeHeld = (reason = "") => {
    if (free.length) give(free, "");
    give(step === "finished" ? held : inAir, reason);
  };
  const tap = () => {
    if (free.length) give(free, "");
    else asked.value = step === "finished" ? "finish" : "air";
  };
  const others = step === "began" ? [] : toBegin(works).filter((one) => isFree(one, "began"));
  return (
    <div class="deeds">
      {UNTIL_IT_IS_ON.has(step) && <AskForAir operation={first.operation} />}
      <p class="hint">{against || hint}</p>
      <Button kind="main" icon={step === "finished" ? "done" : "onward"} onTap={tap}>
        {taken.length < works.length ? `${button} ${whose(taken, works)}` : button}
      </Button>
      {others.length > 0 && (
        <Button onTap={() => void recordStep(others, "began", "", "")}>Begin {whose(others, works)} too</Button>
      )}
      {asked.value === "finish" && <FinishDialog works={due} onFinish={takeHeld} onClose={close} />}
      {asked.value === "air" && unfit && <UnfitAirDialog unfit={unfit} onReason={takeHeld} onClose={close} />}
    </div>
  );
}

type AloneProps = Works & { readonly among: readonly Work[]; readonly why?: string | undefined };

/** What has to be seen to is of each piece alone: ways to them. */
function ToOneAlone({ works, among, why = "Something is to be seen to first." }: AloneProps) {
  return (
    <div class="deeds">
      <p class="hint">{why}</p>
      {works.map((one) => (
        <Link
          key={keyOf(one)}
          to={operationPath(one.view.id, one.operation.id)}
          class={`button ${works.length > 1 ? "plain" : "main"}`}
          icon="onward"
        >
          <span>To {whose([one], among)}</span>
        </Link>
      ))}
    </div>
  );
}
