import type { BuildView } from "../../bench/loaded_builds.ts";
import { Icon } from "../../controls/icon.tsx";
import { partOf, titleOf } from "../words/names.ts";
import { PieceMark } from "../words/piece.tsx";
import type { TicksProps } from "./parts.tsx";
import { tickAll, turn } from "./tick.ts";

type Group = { readonly piece: string; readonly title: string; readonly ids: string[] };

/** Many parts at once: a line for each name and piece, a numbered square for each part, and one for all of them. */
export function PartGroups({ view, operation, ids, left, inHand }: TicksProps) {
  return (
    <ul class="rows">
      {groups(view, ids).map(({ piece, title, ids: own }) => {
        const open = own.filter((id) => left.has(id));
        return (
          <li key={`${piece} ${title}`} class="group">
            <p>
              <PieceMark view={view} piece={piece} /> <strong>{title}</strong>{" "}
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
                    onClick={() => turn(view, operation, id, !left.has(id))}
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
