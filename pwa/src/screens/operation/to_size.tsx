import type { BuildView } from "../../bench/loaded_builds.ts";
import { units } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import { madeText, rowsAt } from "../words/cut_sizes.ts";

/** By how far an operation brings a size, the heading above it, in the order of the work. */
const HEADINGS = [
  ["rough", "Cut over size"],
  ["finished", "Make to size"],
  ["told", "Finished sizes"],
] as const;

/** Which sizes of its parts an operation makes, as built where they depend on what was measured. */
export function ToSizes({ view, operation }: { view: BuildView; operation: Operation }) {
  return (
    <>
      {HEADINGS.map(([stage, heading]) => {
        const made = (operation.to_size ?? []).filter((one) => one.stage === stage);
        return (
          made.length > 0 && (
            <section key={stage} class="block">
              <h2>{heading}</h2>
              <dl class="sizes">
                {made.map((one) => {
                  const rows = rowsAt(view, operation, one);
                  const [title] = rows.map((row) => row.title).sort((a, b) => a.length - b.length); // without a piece
                  return (
                    title && (
                      <div key={one.part}>
                        <dt>{title}</dt>
                        <dd>
                          <strong class="figure">{madeText(view, operation, one, rows, units.value)}</strong>
                        </dd>
                      </div>
                    )
                  );
                })}
              </dl>
            </section>
          )
        );
      })}
    </>
  );
}
