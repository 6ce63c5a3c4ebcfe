import { wordsOf } from "../../bench/clock_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { isUnclamped } from "../../bench/unclamped.ts";
import type { UnfitAir } from "../../bench/unfit_air.ts";
import { Link } from "../../controls/button.tsx";
import { ReasonDialog } from "../../controls/reason_dialog.tsx";
import { now } from "../../live/state.ts";
import { clockTime, span } from "../../moments.ts";
import type { Operation } from "../../wire.gen.ts";
import { operationPath } from "../paths.ts";
import { airWarning, heldUntil, unfitText, unfitTitle } from "../words/air.ts";
import { takenSentence } from "../words/fixtures.ts";
import { operationOf, titleOf } from "../words/names.ts";
import { ReadAir } from "./air_reading.tsx";
import { againOf, holding, inTheWay, keepingClamps } from "./objections.ts";

type AskProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly onReason: (reason: string) => void;
  readonly onClose: () => void;
};

/** Something before this is not done, or a clock still holds it: names it, and wants a reason to begin all the same. */
export function BeginDialog({ view, operation, onReason, onClose }: AskProps) {
  const first = view.bench.operations[operation.id]?.waits_for ?? [];
  const taken = inTheWay(view, operation);
  return (
    <ReasonDialog
      title="Not yet its turn"
      usual={["Done already, not recorded", taken ? "There is another one" : "The order does not matter here"]}
      action="Begin all the same"
      onReason={onReason}
      onClose={onClose}
    >
      {taken && <p>{takenSentence(taken, now.value)}</p>}
      {(first.length > 0 || holding(view, operation).length > 0) && <p>Before this comes:</p>}
      <ul class="rows">
        {first.map((id) => (
          <li key={id} class="row">
            <Link to={operationPath(view.id, id)} class="row-words" icon="waiting">
              <span>
                {titleOf(view.sheet, id)}
                {againOf(view, id).map((sentence) => (
                  <small key={sentence}>{sentence}</small>
                ))}
              </span>
            </Link>
          </li>
        ))}
        {holding(view, operation).map((clock) => (
          <li key={`${clock.operation} ${clock.kind}`} class="row">
            <p class="row-words">
              {wordsOf(clock.kind, operationOf(view.sheet, clock.operation)).name} of{" "}
              {titleOf(view.sheet, clock.operation)}
              {heldUntil(clock) && `, ${heldUntil(clock)}`}
            </p>
          </li>
        ))}
      </ul>
    </ReasonDialog>
  );
}

type UnfitAirProps = Pick<AskProps, "onReason" | "onClose"> & { readonly unfit: UnfitAir };

/** What it means to go on all the same, and reasons that are usual for it. */
const IN_UNFIT_AIR = {
  "cold glue": {
    means: "In the cold it may never set, and no clock can tell. Warm the shop, the wood and the glue first.",
    usual: ["Wood and glue are warm", "The glue's label allows it", "It goes into a warm room to set"],
  },
  "cold finish": {
    means: "In the cold it may stay soft, and no clock can tell. Warm the shop, the wood and the finish first.",
    usual: ["Wood and finish are warm", "The finish's label allows it", "It goes into a warm room to dry"],
  },
  "damp finish": {
    means:
      "In damp air it may turn white or stay soft, and no clock can tell. Wait for drier air, or warm the room first.",
    usual: ["The finish's label allows it", "It goes into a dry room to dry", "The reading is not from here"],
  },
};

/** The air is unfit for the glue or finish: says so before any goes on, takes a new reading, wants a reason to go on. */
export function UnfitAirDialog({ unfit, onReason, onClose }: UnfitAirProps) {
  const { means, usual } = IN_UNFIT_AIR[unfit.is === "damp" ? "damp finish" : (`cold ${unfit.stuff}` as const)];
  return (
    <ReasonDialog
      title={unfitTitle(unfit)}
      usual={usual}
      action="Go on all the same"
      onReason={onReason}
      onClose={onClose}
    >
      <p>
        {unfitText(unfit)} {means}
      </p>
      <ReadAir />
    </ReasonDialog>
  );
}

const EARLY_FOR_CLAMPS = {
  title: "Too early for the clamps",
  usual: ["Needed the clamps elsewhere", "The glue's label asks for less", "Shifted: it has to be glued again"],
  action: "Take them off all the same",
  stay: "They should stay on",
};

const EARLY_TO_MOVE = {
  title: "Too early: the glue has not set",
  usual: ["The glue's label asks for less", "Shifted: it has to be glued again"],
  action: "Go on all the same",
  stay: "Leave it",
};

/** Clamps come off early, and without any the work goes on early, only with a reason, which the log keeps. */
export function EarlyDialog({ view, operation, onReason, onClose }: AskProps) {
  const clock = keepingClamps(view, operation);
  const due = clock?.least ?? null;
  const { title, usual, action, stay } = isUnclamped(operation) ? EARLY_TO_MOVE : EARLY_FOR_CLAMPS;
  return (
    <ReasonDialog title={title} usual={usual} action={action} onReason={onReason} onClose={onClose}>
      {clock && airWarning(clock) && <p>{airWarning(clock)}</p>}
      {due !== null && !clock?.too_cold && due > now.value && (
        <p>
          {stay} until <strong>{clockTime(due, now.value)}</strong>, {span(due - now.value)} more. A joint opened too
          soon can fail later. The log keeps your reason.
        </p>
      )}
    </ReasonDialog>
  );
}
