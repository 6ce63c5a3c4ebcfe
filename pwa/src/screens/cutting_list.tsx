import "./cutting_list.css";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Top } from "../controls/top.tsx";
import { unitsOf } from "../live/state.ts";
import type { Units } from "../recipe/measure.ts";
import type { CutListRow } from "../wire.gen.ts";
import { buildPath } from "./paths.ts";
import { type Boards, boardsOf, isFromBoard } from "./words/boards.ts";
import { byStrip, type EqualRows, trimmedText } from "./words/cut_rows.ts";
import { boughtText, finishedByText, roughText } from "./words/cut_sizes.ts";
import { begun } from "./words/names.ts";

/** What to cut for a build: by stock and thickness as bought, each kind of part with its count and sizes. */
export function CuttingListScreen({ view, title }: { readonly view: BuildView; readonly title: string }) {
  const rows = view.sheet.cutting_list ?? [];
  return (
    <>
      <Top title={title} back={buildPath(view.id)} over={view.name || view.sheet.title} />
      {rows.length === 0 ? (
        <p>This build began before there were cutting lists. Its parts have their sizes.</p>
      ) : (
        <p class="soft">
          Each heading has the thickness to buy. Sizes are length along the grain × width × thickness; cut rough first.
        </p>
      )}
      {byStock(rows, unitsOf(view.sheet)).map(({ stock, bought, group }) => (
        <section key={`${stock} ${bought}`} class="block">
          <h2>
            {stock} <span class="figure">{bought}</span>
          </h2>
          <CutRows view={view} group={group} />
        </section>
      ))}
      <BoardList boards={boardsOf(view.sheet, unitsOf(view.sheet))} />
    </>
  );
}

/** Boards from which several parts are cut: how large each must be, and in which order they lie on it. */
function BoardList({ boards }: { boards: readonly Boards[] }) {
  if (boards.length === 0) return null;
  return (
    <section class="block">
      <h2>From one board each</h2>
      <ul class="rows">
        {boards.map(({ first, count, rough, order }) => (
          <li key={first.id} class="row cut">
            <strong class="figure">{count} ×</strong>
            <div>
              <strong>{first.title}</strong>
              <p class="figure">{rough} rough</p>
              <small>{first.stock}</small>
              <small>In this order: {order}</small>
              {first.match === "book" && <small>Opened like a book in pairs</small>}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The rows of one stock, those that are cut from a strip under its size and length. */
function CutRows({ view, group }: { view: BuildView; group: readonly CutListRow[] }) {
  return (
    <>
      {byStrip(group, unitsOf(view.sheet)).map(([strip, rows]) => (
        <div key={strip}>
          {strip && <h3 class="strip">{strip}</h3>}
          <ul class="rows">
            {rows.map((row) => (
              <CutRow key={row.first.of[0]} view={view} {...row} />
            ))}
          </ul>
        </div>
      ))}
    </>
  );
}

function CutRow({ view, first, title, rows }: { view: BuildView } & EqualRows) {
  const units = unitsOf(view.sheet);
  const finished = [...finishedByText(view, rows, units)];
  const more = [
    isFromBoard(view.sheet, first) ? "" : roughText(first, units),
    trimmedText(first, units),
    first.grain && `Grain: ${first.grain}`,
    first.note && begun(first.note),
  ];
  return (
    <li class="row cut">
      <strong class="figure">{rows.flatMap(({ of }) => of).length} ×</strong>
      <div>
        <strong>{title}</strong>
        {finished.map(([text, pieces]) => (
          <p key={text} class="figure">
            {finished.length > 1 && `${[...pieces].join(", ")}: `}
            {text}
          </p>
        ))}
        {more.filter(Boolean).map((text) => (
          <small key={text}>{text}</small>
        ))}
      </div>
    </li>
  );
}

type Stock = { readonly stock: string; readonly bought: string; readonly group: CutListRow[] };

/** The rows by the stock and thickness they are cut from, in the list's order. */
function byStock(rows: readonly CutListRow[], units: Units): readonly Stock[] {
  const found = new Map<string, Stock>();
  for (const row of rows) {
    const [stock, bought] = [begun(row.stock), boughtText(row, units)];
    const key = `${stock} ${bought}`;
    const one = found.get(key) ?? { stock, bought, group: [] };
    one.group.push(row);
    found.set(key, one);
  }
  return [...found.values()];
}
