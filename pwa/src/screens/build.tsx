import "./build.css";
import { useSignal } from "@preact/signals";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Button, Link } from "../controls/button.tsx";
import { Top } from "../controls/top.tsx";
import type { Operation } from "../wire.gen.ts";
import { PromiseField } from "./builds/promise_field.tsx";
import { BuildTools } from "./builds/tools.tsx";
import { holding } from "./operation/objections.ts";
import { operationPath } from "./paths.ts";
import { heldUntil } from "./words/air.ts";
import { begun, titleOf } from "./words/names.ts";
import { PieceTitle } from "./words/piece.tsx";
import { statusWords } from "./words/status.ts";

/** One build: every operation in order with how far it is, of all pieces or of one. */
export function BuildScreen({ view }: { view: BuildView }) {
  const piece = useSignal("");
  const { sheet, bench } = view;
  const all = useSignal(false);
  const isDone = ({ id }: Operation) => bench.operations[id]?.status === "done";
  const ofPiece = sheet.operations.filter((operation) => !piece.value || operation.piece === piece.value);
  const shown = ofPiece.filter((operation) => all.value || !isDone(operation));
  const done = sheet.operations.filter(isDone).length;
  return (
    <>
      <Top
        title={view.name || sheet.title}
        back="/builds"
        over={view.name && view.name !== sheet.title ? sheet.title : ""}
      />
      <p>
        <strong class="figure">
          {done} of {sheet.operations.length}
        </strong>{" "}
        operations done
        {bench.closed && ", put away"}
      </p>
      <progress class="rule" max={sheet.operations.length} value={done} aria-label="Operations done" />
      <BuildTools view={view} />
      {!bench.finished && !bench.closed && <PromiseField view={view} />}
      {sheet.pieces.length > 1 && (
        <fieldset class="pieces">
          <legend>Piece</legend>
          {["", ...sheet.pieces].map((one) => (
            <button
              key={one}
              type="button"
              class="chip"
              aria-pressed={piece.value === one}
              onClick={() => (piece.value = one)}
            >
              {one || "All"}
            </button>
          ))}
        </fieldset>
      )}
      <section class="block">
        <h2>
          {all.value ? "All operations" : "Left to do"}{" "}
          <span class="figure">{`${shown.length} of ${ofPiece.length}`}</span>
        </h2>
        <ol class="rows">
          {shown.map((operation) => (
            <li key={operation.id} class="row">
              <OperationRow view={view} operation={operation} />
            </li>
          ))}
        </ol>
        {ofPiece.some(isDone) && (
          <Button
            onTap={() => {
              all.value = !all.value;
            }}
          >
            {all.value ? "Only what is left" : "Show what is done too"}
          </Button>
        )}
      </section>
    </>
  );
}

function OperationRow({ view, operation }: { view: BuildView; operation: Operation }) {
  const state = view.bench.operations[operation.id];
  const [word, icon] = statusWords(state?.status ?? "waiting", operation);
  return (
    <Link to={operationPath(view.id, operation.id)} class={`row-words ${state?.status ?? ""}`} icon={icon}>
      <span>
        <PieceTitle view={view} id={operation.id} />
        <small>
          {begun(operation.station)} · {word}
          {whyNot(view, operation)}
        </small>
      </span>
    </Link>
  );
}

function whyNot(view: BuildView, operation: Operation): string {
  const state = view.bench.operations[operation.id];
  const [first] = state?.waits_for ?? [];
  if (state?.status === "waiting" && first) return ` for ${titleOf(view.sheet, first)}`;
  const [held] = state?.status === "ready" ? holding(view, operation) : [];
  const until = held && heldUntil(held);
  return until ? `, but held ${until}` : "";
}
