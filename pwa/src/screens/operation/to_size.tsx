import type { BuildView } from "../../bench/loaded_builds.ts";
import { unitsOf } from "../../live/state.ts";
import type { Operation, ToSize } from "../../wire.gen.ts";
import { madeText, rowsAt } from "../words/cut_sizes.ts";

/** By how far an operation brings a size, the heading above it, in the order of the work. */
const HEADINGS = [
  ["rough", "Cut over size"],
  ["finished", "Make to size"],
  ["told", "Finished sizes"],
] as const;

/** Which sizes of its parts an operation makes, as built where they depend on what was measured. of: whose. */
export function ToSizes({ view, operation, of = "" }: { view: BuildView; operation: Operation; of?: string }) {
  return (
    <>
      {HEADINGS.map(([stage, heading]) => {
        const made = byText(view, operation, stage);
        return (
          made.length > 0 && (
            <section key={stage} class="block">
              <h2>
                {heading} {of && <span>{of}</span>}
              </h2>
              <dl class="sizes">
                {made.map(([text, titles]) => (
                  <div key={text}>
                    <dt>{titles.join(", ")}</dt>
                    <dd>
                      <strong class="figure">{text}</strong>
                    </dd>
                  </div>
                ))}
              </dl>
            </section>
          )
        );
      })}
    </>
  );
}

/** The sizes that an operation brings so far, as text, each with the titles of the parts that get them. */
function byText(
  view: BuildView,
  operation: Operation,
  stage: ToSize["stage"],
): readonly (readonly [string, readonly string[]])[] {
  const found = new Map<string, string[]>();
  for (const made of operation.to_size ?? []) {
    const rows = rowsAt(view, operation, made);
    const [title] = rows.map((row) => row.title).sort((a, b) => a.length - b.length); // without a piece
    if (!title || made.stage !== stage) continue;
    const text = madeText(view, operation, made, rows, unitsOf(view.sheet));
    found.set(text, [...(found.get(text) ?? []), title]);
  }
  return [...found];
}
