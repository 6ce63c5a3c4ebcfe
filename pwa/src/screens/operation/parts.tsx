import type { VNode } from "preact";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { travel } from "../../live/navigation.ts";
import type { Operation } from "../../wire.gen.ts";
import { partPath } from "../paths.ts";
import { partOf, titleOf } from "../words/names.ts";
import { PieceMark } from "../words/piece.tsx";
import { leftIn, partsIn, type Work } from "../words/whose.ts";
import { tickAll, ticking, toggleTick } from "./ticks.ts";

type PartsProps = { readonly view: BuildView; readonly operation: Operation; readonly only?: readonly string[] };

/** More parts than this stand in groups of the same name. */
export const MANY = 9;

/** The parts this operation goes over, ticked one by one while it is in hand. `only` shows some of them. */
export function Parts({ view, operation, only = operation.parts }: PartsProps) {
  const all = [{ view, operation }];
  return (
    <section class="block">
      <h2>
        Parts <Through works={all} />
      </h2>
      <PartTicks view={view} operation={operation} ids={only} grouped={only.length > MANY} />
      <TickByScanning works={all} />
    </section>
  );
}

/** "3 of 8 through", of the parts of these. */
export function Through({ works }: { readonly works: readonly Work[] }) {
  const parts = partsIn(works);
  return <span class="figure">{`${parts - leftIn(works)} of ${parts} through`}</span>;
}

/** Opens the scanner for these, where one is in hand and has parts left. */
export function TickByScanning({ works }: { readonly works: readonly Work[] }) {
  if (!works.some((one) => isInHand(one) && leftIn([one]) > 0)) return null;
  return (
    <Button
      icon="scan"
      onTap={() => {
        ticking.value = works.map(({ view, operation }) => ({ build: view.id, operation: operation.id }));
        travel("/scan");
      }}
    >
      Tick by scanning
    </Button>
  );
}

/** Whether parts may be ticked off it now. */
export function isInHand({ view, operation }: Work): boolean {
  const state = view.bench.operations[operation.id];
  return state !== undefined && Object.keys(state.marks).length > 0 && state.status !== "done";
}

type PartTicksProps = Work & { readonly ids: readonly string[]; readonly grouped: boolean; readonly mark?: VNode };

/** Parts of one operation to tick off: one by one in a row, or in groups by their numbers. mark: of each group's piece. */
export function PartTicks({ view, operation, ids, grouped, mark }: PartTicksProps) {
  const left = new Set(view.bench.operations[operation.id]?.left);
  const shared = { view, operation, ids, left, mark, inHand: isInHand({ view, operation }) };
  return grouped ? <PartGroups {...shared} /> : <PartRows {...shared} />;
}

/** ids: the parts to show. left: those not ticked yet. inHand: whether they may be ticked now. mark: instead of a piece's. */
type TicksProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly ids: readonly string[];
  readonly left: ReadonlySet<string>;
  readonly inHand: boolean;
  readonly mark?: VNode | undefined;
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
              onClick={() => toggleTick(view, operation, id, !left.has(id))}
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

type Group = { readonly piece: string; readonly title: string; readonly ids: string[] };

/** Many parts at once: a line for each name and piece, a numbered square for each part, and one for all of them. */
function PartGroups({ view, operation, ids, left, inHand, mark }: TicksProps) {
  return (
    <ul class="rows">
      {groups(view, ids).map(({ piece, title, ids: own }) => {
        const open = own.filter((id) => left.has(id));
        return (
          <li key={`${piece} ${title}`} class="group">
            <p>
              {mark ?? <PieceMark view={view} piece={piece} />} <strong>{title}</strong>{" "}
              <span class="soft figure">{`${own.length - open.length} of ${own.length}`}</span>
            </p>
            {inHand && (
              <div class="numbers">
                {own.map((id) => (
                  <button
                    key={id}
                    type="button"
                    class="chip number"
                    aria-pressed={!left.has(id)}
                    aria-label={titleOf(view.sheet, id)}
                    onClick={() => toggleTick(view, operation, id, !left.has(id))}
                  >
                    {left.has(id) ? (numberOf(view, id) ?? <Icon name="empty" />) : <Icon name="check" />}
                  </button>
                ))}
                {open.length > 1 && (
                  <button type="button" class="chip" onClick={() => void tickAll(view, operation, open)}>
                    All {open.length}
                  </button>
                )}
              </div>
            )}
          </li>
        );
      })}
    </ul>
  );
}

/** Parts of one piece whose names differ by their number alone. */
function groups(view: BuildView, ids: readonly string[]): readonly Group[] {
  const found = new Map<string, Group>();
  for (const id of ids) {
    const part = partOf(view.sheet, id);
    const title = (part?.title ?? id).replace(/ \d+$/, "");
    const key = `${part?.piece ?? ""}|${title}`;
    const group = found.get(key) ?? { piece: part?.piece ?? "", title, ids: [] };
    group.ids.push(id);
    found.set(key, group);
  }
  return [...found.values()];
}

function numberOf(view: BuildView, id: string): string | undefined {
  return / (\d+)$/.exec(titleOf(view.sheet, id))?.[1];
}
