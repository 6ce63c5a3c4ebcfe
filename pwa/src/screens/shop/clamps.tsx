import { builds } from "../../live/state.ts";
import { Counts, countsOf } from "./counts.tsx";

/** The kinds that recipes may ask for, as trade/tables/clamps.toml names them. */
const KINDS = ["parallel jaw", "heavy F", "light F", "pipe", "one-hand bar", "handscrew", "spring", "band"] as const;

/** How many clamps of each kind the shop has: the checker says when a glue-up wants more. */
export function Clamps() {
  return (
    <section class="block">
      <h2>Clamps on the wall</h2>
      <p class="hint">
        The plan never takes more than you count here. Of a kind not counted (–) it takes what it wants.
      </p>
      <Counts setting="clamps" one="clamp" names={[...KINDS, ...Object.keys(countsOf("clamps")), ...wanted()]} />
    </section>
  );
}

/** Kinds that an open build takes. */
function wanted(): string[] {
  return builds.value.flatMap(({ sheet }) => sheet.operations.flatMap(({ clamps }) => Object.keys(clamps ?? {})));
}
