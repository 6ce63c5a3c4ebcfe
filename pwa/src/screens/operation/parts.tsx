import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { travel } from "../../live/navigation.ts";
import type { Operation } from "../../wire.gen.ts";
import { partPath } from "../paths.ts";
import { ticking } from "../scan/meet.ts";
import { partOf, titleOf } from "../words/names.ts";
import { PartGroups } from "./groups.tsx";
import { turn } from "./tick.ts";

type PartsProps = { readonly view: BuildView; readonly operation: Operation; readonly only?: readonly string[] };

/** More parts than this stand in groups of the same name. */
const MANY = 9;

/** The parts this operation goes over, ticked one by one while it is in hand. `only` shows some of them. */
export function Parts({ view, operation, only = operation.parts }: PartsProps) {
  const state = view.bench.operations[operation.id];
  const inHand = state !== undefined && Object.keys(state.marks).length > 0 && state.status !== "done";
  const left = new Set(state?.left);
  const shared = { view, operation, ids: only, left, inHand };
  return (
    <section class="block">
      <h2>
        Parts <span class="figure">{`${operation.parts.length - left.size} of ${operation.parts.length} through`}</span>
      </h2>
      {only.length > MANY ? <PartGroups {...shared} /> : <PartRows {...shared} />}
      {inHand && left.size > 0 && (
        <Button
          icon="scan"
          onTap={() => {
            ticking.value = { build: view.id, operation: operation.id };
            travel("/scan");
          }}
        >
          Tick by scanning
        </Button>
      )}
    </section>
  );
}

export type TicksProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly ids: readonly string[];
  readonly left: ReadonlySet<string>;
  readonly inHand: boolean;
};

function PartRows({ view, operation, ids, left, inHand }: TicksProps) {
  return (
    <ul class="rows">
      {ids.map((id) => (
        <li key={id} class="row">
          {inHand ? (
            <button
              type="button"
              class="row-words tick"
              aria-pressed={!left.has(id)}
              onClick={() => turn(view, operation, id, !left.has(id))}
            >
              <Icon name={left.has(id) ? "empty" : "done"} large />
              <PartWords view={view} id={id} />
            </button>
          ) : (
            <p class="row-words">
              <Icon name={left.has(id) ? "empty" : "done"} large />
              <PartWords view={view} id={id} />
            </p>
          )}
          <Link to={partPath(view.id, id)} class="row-way">
            <Icon name="onward" />
            <span class="unseen">About {titleOf(view.sheet, id)}</span>
          </Link>
        </li>
      ))}
    </ul>
  );
}

function PartWords({ view, id }: { view: BuildView; id: string }) {
  const part = partOf(view.sheet, id);
  return (
    <span>
      {part?.title ?? id}
      {part?.place && <small>{part.place}</small>}
    </span>
  );
}
