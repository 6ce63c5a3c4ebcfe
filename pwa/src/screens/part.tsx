import "./part.css";
import { fixtureKey } from "../bench/fixtures.ts";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { showCode } from "../recipe/label_code.ts";
import { Missing } from "./missing.tsx";
import { holding } from "./operation/objections.ts";
import { Facts } from "./part/facts.tsx";
import { History } from "./part/history.tsx";
import { RemakeAction } from "./part/remake.tsx";
import { PartTools } from "./part/tools.tsx";
import { buildPath, operationPath, partPath, printPath } from "./paths.ts";
import { FixtureBlocks, usesOf } from "./place/fixture.tsx";
import { heldUntil } from "./words/air.ts";
import { storyOf } from "./words/happenings.ts";
import { fullTitle, operationOf, partOf, titleOf } from "./words/names.ts";
import { statusWords } from "./words/status.ts";

type PartProps = { readonly view: BuildView; readonly part: string; readonly oldLabel?: boolean };

/** One part by its label: where it goes, its sizes, what is next for it, and all that was done to it. */
export function PartScreen({ view, part: id, oldLabel = false }: PartProps) {
  const part = partOf(view.sheet, id);
  const state = view.bench.parts[id];
  if (!part || !state) return <Missing what={`This build has no part “${id}”.`} />;
  const fixture = view.sheet.fixtures?.find(({ of }) => of?.includes(id));
  const several = view.sheet.pieces.length > 1 && part.piece;
  return (
    <>
      <Top
        title={fixture?.title ?? part.title}
        back={buildPath(view.id)}
        over={[fixture && "Fixture", view.name || view.sheet.title, several && `Piece ${part.piece}`]
          .filter(Boolean)
          .join(" · ")}
      />
      {oldLabel && (
        <Notice
          grave
          icon="label"
          what="This label is of a spoiled part."
          next={`The part that replaces it has ${showCode(state.code)}. Take this label off.`}
        />
      )}
      {!oldLabel && isNew(view, id) && (
        <Notice icon="label" what="Its label is new." next={`Put ${showCode(state.code)} on the new part.`}>
          <Link to={printPath(view.id, id)} class="button plain" icon="print">
            <span>Print the new label</span>
          </Link>
        </Notice>
      )}
      {state.spoiled && <Notice grave icon="spoiled" what="It is spoiled." next="Take its label off." />}
      <p class="code-line">
        <Icon name="label" />
        <span class="code">{showCode(state.code)}</span>
        {part.place && <strong>{part.place}</strong>}
      </p>
      {state.inside && (
        <p>
          Glued into{" "}
          <Link to={partPath(view.id, state.inside)} class="text-way">
            {titleOf(view.sheet, state.inside)}
          </Link>
          .
        </p>
      )}
      {fixture && <FixtureBlocks fixture={fixture} uses={usesOf(fixtureKey(view.id, fixture))} />}
      <Facts view={view} part={part} />
      <PartTools view={view} id={id} />
      <History view={view} id={id} />
      {state.spoiled ? (
        <RemakeAction build={view.id} id={id} />
      ) : (
        (state.next || !fixture) && <NextOperation view={view} next={state.next} />
      )}
    </>
  );
}

/** The operation that is next for it, one tap away, and what that waits for. */
function NextOperation({ view, next }: { view: BuildView; next: string | null }) {
  const operation = next === null ? undefined : operationOf(view.sheet, next);
  if (!operation) {
    return (
      <div class="deeds">
        <p class="hint">
          <Icon name="done" /> Everything is done to it.
        </p>
      </div>
    );
  }
  return (
    <div class="deeds">
      <p class="hint">
        {whyNotYet(view, operation.id) ??
          `${statusWords(view.bench.operations[operation.id]?.status ?? "ready", operation)[0]}.`}
      </p>
      <Link to={operationPath(view.id, operation.id)} class="button main" icon="onward">
        <span>Next: {operation.title}</span>
      </Link>
    </div>
  );
}

/** Whether it was begun again, and nothing was done to it since. */
function isNew(view: BuildView, id: string): boolean {
  return (
    storyOf(view)
      .filter(({ about }) => about.includes(id))
      .at(-1)?.what?.kind === "remade"
  );
}

function whyNotYet(view: BuildView, id: string): string | null {
  const operation = operationOf(view.sheet, id);
  const [first] = view.bench.operations[id]?.waits_for ?? [];
  if (first) return `Waits for: ${fullTitle(view.sheet, first)}.`;
  const [held] = operation ? holding(view, operation) : [];
  const until = held && heldUntil(held);
  return until ? `Held ${until}.` : null;
}
