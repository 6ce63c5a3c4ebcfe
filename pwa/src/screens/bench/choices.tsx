import { useSignal } from "@preact/signals";
import type { Choice } from "../../bench/choice.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon, type IconName } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import { operationPath } from "../paths.ts";
import { operationOf } from "../words/names.ts";
import { PieceMark, PieceTitle } from "../words/piece.tsx";
import { statusWords } from "../words/status.ts";

type ChoiceProps = { readonly choice: Choice };

/** The one operation for the hands, with its reason, one tap away. */
export function FirstChoice({ choice }: ChoiceProps) {
  const view = viewOf(choice);
  const operation = view && operationOf(view.sheet, choice.operation);
  if (!operation) return null;
  const [word, icon] = statusWords(view.bench.operations[operation.id]?.status ?? "ready", operation);
  return (
    <Link to={operationPath(view.id, operation.id)} class="first-choice">
      <span class="over">
        {operation.station}
        {builds.value.length > 1 && ` · ${view.name}`}
      </span>
      <strong>
        <PieceMark view={view} piece={operation.piece} /> {operation.title}
      </strong>
      {choice.reason && <span>{choice.reason}</span>}
      <span class="state">
        <Icon name={icon} />
        {word}
        <Icon name="onward" />
      </span>
    </Link>
  );
}

const FEW = 4;

type ChoicesProps = { readonly title: string; readonly choices: readonly Choice[]; readonly why?: string };

/** More operations, a line each; the first few until asked for all. why: what holds for all of them, said once. */
export function Choices({ title, choices, why }: ChoicesProps) {
  const all = useSignal(false);
  if (choices.length === 0) return null;
  const shown = all.value ? choices : choices.slice(0, FEW);
  return (
    <section class="block">
      <h2>{title}</h2>
      {why && <p class="hint">{why}</p>}
      <ul class="rows">
        {shown.map((choice) => (
          <li key={`${choice.build} ${choice.operation}`} class="row">
            <ChoiceRow choice={choice} />
          </li>
        ))}
      </ul>
      {shown.length < choices.length && (
        <Button
          onTap={() => {
            all.value = true;
          }}
        >
          {choices.length - shown.length} more
        </Button>
      )}
    </section>
  );
}

/** What is ready but for a fixture: a list for each, and what stands in it. */
export function WaitingForFixtures({ waiting }: { readonly waiting: readonly Choice[] }) {
  const reasons = [...new Set(waiting.map(({ reason }) => reason))];
  return (
    <>
      {reasons.map((why) => (
        <Choices
          key={why}
          title="Waiting for a fixture"
          why={why}
          choices={waiting.filter(({ reason }) => reason === why).map((one) => ({ ...one, reason: "" }))}
        />
      ))}
    </>
  );
}

/** One operation in a line, with its reason. icon: in place of the one for how far it is. */
export function ChoiceRow({ choice, icon }: ChoiceProps & { readonly icon?: IconName }) {
  const view = viewOf(choice);
  const operation = view && operationOf(view.sheet, choice.operation);
  if (!operation) return null;
  const [, far] = statusWords(view.bench.operations[operation.id]?.status ?? "ready", operation);
  return (
    <Link to={operationPath(view.id, choice.operation)} class="row-words" icon={icon ?? far}>
      <span>
        <PieceTitle view={view} id={choice.operation} />
        {choice.reason && <small>{choice.reason}</small>}
      </span>
    </Link>
  );
}

function viewOf(choice: Choice): BuildView | undefined {
  return builds.value.find(({ id }) => id === choice.build);
}
