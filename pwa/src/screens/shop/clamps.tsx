import { Button } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import { builds, shop } from "../../live/state.ts";
import { begun } from "../words/names.ts";

/** The kinds that recipes may ask for, as trade/tables/clamps.toml names them. */
const KINDS = ["parallel jaw", "heavy F", "light F", "pipe", "one-hand bar", "handscrew", "spring", "band"] as const;

/**
 * How many clamps of each kind the shop has: the checker says when a glue-up wants more. Minus turns "not counted" into
 * none, and none into "not counted".
 */
export function Clamps() {
  const owned = clampsOwned();
  const keep = (kind: string, count: number) => {
    const counted = Object.entries({ ...owned, [kind]: count }).filter(([, many]) => many >= 0);
    void record("", { kind: "kept", setting: "clamps", value: Object.fromEntries(counted) }, []);
  };
  const kinds = [...new Set([...KINDS, ...Object.keys(owned), ...wanted()])];
  return (
    <section class="block">
      <h2>Clamps on the wall</h2>
      <p class="hint">
        The plan never takes more than you count here. Of a kind not counted (–) it takes what it wants.
      </p>
      <ul class="rows">
        {kinds.map((kind) => (
          <li key={kind} class="row stepper">
            <span>{begun(kind)}</span>
            <Button onTap={() => keep(kind, (owned[kind] ?? 1) - 1)}>
              −<span class="unseen"> one {kind} clamp</span>
            </Button>
            <output class="figure">{owned[kind] ?? "–"}</output>
            <Button onTap={() => keep(kind, (owned[kind] ?? 0) + 1)}>
              +<span class="unseen"> one {kind} clamp</span>
            </Button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function clampsOwned(): Readonly<Record<string, number>> {
  const kept = shop.value.settings.clamps;
  return kept && typeof kept === "object" ? (kept as Record<string, number>) : {};
}

/** Kinds that an open build takes. */
function wanted(): string[] {
  return builds.value.flatMap(({ sheet }) => sheet.operations.flatMap(({ clamps }) => Object.keys(clamps ?? {})));
}
