import "./cutting_list.css";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Top } from "../controls/top.tsx";
import { units } from "../live/state.ts";
import type { CutListRow } from "../wire.gen.ts";
import { buildPath } from "./paths.ts";
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
        <p class="soft">Length along the grain × width × thickness. Cut rough first.</p>
      )}
      {byStock(rows).map(([heading, group]) => (
        <section key={heading} class="block">
          <h2>{heading}</h2>
          <ul class="rows">
            {group.map((row) => (
              <CutRow key={row.of[0]} view={view} row={row} />
            ))}
          </ul>
        </section>
      ))}
    </>
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

/** The rows by the stock they are cut from, in the list's order. */
function byStock(rows: readonly CutListRow[]): readonly (readonly [string, readonly CutListRow[]])[] {
  const found = new Map<string, CutListRow[]>();
  for (const row of rows) {
    const heading = `${begun(row.stock)}, ${boughtText(row, units.value)}`;
    found.set(heading, [...(found.get(heading) ?? []), row]);
  }
  return [...found];
}
