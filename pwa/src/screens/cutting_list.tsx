import "./cutting_list.css";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Top } from "../controls/top.tsx";
import { units } from "../live/state.ts";
import type { CutListRow } from "../wire.gen.ts";
import { buildPath } from "./paths.ts";
import { type Boards, boardsOf } from "./words/boards.ts";
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
      {byStock(rows).map(({ stock, bought, group }) => (
        <section key={`${stock} ${bought}`} class="block">
          <h2>
            {stock} <span class="figure">{bought}</span>
          </h2>
          <ul class="rows">
            {group.map((row) => (
              <CutRow key={row.of[0]} view={view} row={row} />
            ))}
          </ul>
        </section>
      ))}
      <BoardList boards={boardsOf(view.sheet, units.value)} />
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

function CutRow({ view, row }: { view: BuildView; row: CutListRow }) {
  const finished = [...finishedByText(view, row, units.value)];
  const more = [roughText(row, units.value), row.grain && `Grain: ${row.grain}`, row.note && begun(row.note)];
  return (
    <li class="row cut">
      <strong class="figure">{row.of.length} ×</strong>
      <div>
        <strong>{row.title}</strong>
        {finished.map(([text, pieces]) => (
          <p key={text} class="figure">
            {finished.length > 1 && `${pieces.join(", ")}: `}
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
function byStock(rows: readonly CutListRow[]): readonly Stock[] {
  const found = new Map<string, Stock>();
  for (const row of rows) {
    const [stock, bought] = [begun(row.stock), boughtText(row, units.value)];
    const key = `${stock} ${bought}`;
    const one = found.get(key) ?? { stock, bought, group: [] };
    one.group.push(row);
    found.set(key, one);
  }
  return [...found.values()];
}
