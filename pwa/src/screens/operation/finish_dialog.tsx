import { Button } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { ReasonForm } from "../../controls/reason_dialog.tsx";
import { BuildMark } from "../words/build_mark.tsx";
import { leftIn, type Work } from "../words/whose.ts";
import { Checks } from "./checks.tsx";
import { outOfBounds } from "./objections.ts";
import { MANY, Parts, PartTicks } from "./parts.tsx";

type FinishProps = {
  readonly works: readonly Work[];
  readonly onFinish: (reason?: string) => void;
  readonly onClose: () => void;
};

/** What is not ticked, not checked or out of its bounds, to be done here and now; or a reason to finish as it is. */
export function FinishDialog({ works, onFinish, onClose }: FinishProps) {
  const open = works.filter((work) => isLeft(work) || outOfBounds(work.view, work.operation).length > 0);
  if (open.length === 0) {
    return (
      <Dialog title="Nothing is left" onClose={onClose}>
        <p>Every part is ticked and every check is good.</p>
        <Button kind="main" icon="done" onTap={() => onFinish()}>
          Finish
        </Button>
      </Dialog>
    );
  }
  return (
    <Dialog title="Something is left" onClose={onClose}>
      {open.map((work) => (
        <WhatIsLeft key={`${work.view.id} ${work.operation.id}`} work={work} among={works} />
      ))}
      {!open.some(isLeft) && (
        <Button kind="main" icon="waiting" onTap={() => onFinish()}>
          Leave it, and measure again later
        </Button>
      )}
      <h3>Or finish as it is</h3>
      <ReasonForm
        usual={["Done, not ticked", "Good enough here", "Left for later"]}
        action="Finish as it is"
        onReason={onFinish}
      />
    </Dialog>
  );
}

type LeftProps = { readonly work: Work; readonly among: readonly Work[] };

/** What is left of one; where it is one of several, under its mark. */
function WhatIsLeft({ work, among }: LeftProps) {
  const { view, operation } = work;
  const left = leftOf(work);
  const mark = among.length > 1 ? <BuildMark work={work} among={among} /> : null;
  const grouped = leftIn(among) > MANY;
  return (
    <>
      {mark && !(grouped && left.length) && <h3>{mark}</h3>}
      {left.length > 0 && !mark && <Parts view={view} operation={operation} only={left} />}
      {left.length > 0 && mark && <PartTicks {...work} ids={left} grouped={grouped} mark={mark} />}
      {isUnchecked(work) && <Checks view={view} operation={operation} open />}
      {outOfBounds(view, operation).map((sentence) => (
        <p key={sentence} class="look">
          {sentence}
        </p>
      ))}
    </>
  );
}

function isLeft(work: Work): boolean {
  return leftOf(work).length > 0 || isUnchecked(work);
}

function leftOf({ view, operation }: Work): readonly string[] {
  return view.bench.operations[operation.id]?.left ?? [];
}

function isUnchecked({ view, operation }: Work): boolean {
  const seen = view.bench.operations[operation.id]?.checks ?? {};
  return (operation.checks ?? []).some((_, n) => seen[String(n)] !== true);
}
