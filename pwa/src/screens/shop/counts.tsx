import { countsIn } from "../../bench/shop.ts";
import { Button } from "../../controls/button.tsx";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";
import { begun } from "../words/names.ts";

type Setting = "clamps" | "fixtures";

type CountsProps = { readonly setting: Setting; readonly one: string; readonly names: readonly string[] };

/** How many the shop has of each. Minus turns "not counted" into none, and none into "not counted". one: "clamp". */
export function Counts({ setting, one, names }: CountsProps) {
  const counts = countsOf(setting);
  return (
    <ul class="rows">
      {[...new Set(names)].map((name) => (
        <li key={name} class="row stepper">
          <span>{begun(name)}</span>
          <Button onTap={() => keepCount(setting, name, (counts[name] ?? 1) - 1)}>
            −
            <span class="unseen">
              {" "}
              one {name} {one}
            </span>
          </Button>
          <output class="figure">{counts[name] ?? "–"}</output>
          <Button onTap={() => keepCount(setting, name, (counts[name] ?? 0) + 1)}>
            +
            <span class="unseen">
              {" "}
              one {name} {one}
            </span>
          </Button>
        </li>
      ))}
    </ul>
  );
}

/** What the shop has counted. */
export function countsOf(setting: Setting): Readonly<Record<string, number>> {
  return countsIn(shop.value, setting);
}

/** Records how many there are of one; below none, it is not counted. */
export function keepCount(setting: Setting, name: string, count: number): void {
  const counted = Object.entries({ ...countsOf(setting), [name]: count }).filter(([, many]) => many >= 0);
  void record("", { kind: "kept", setting, value: Object.fromEntries(counted) }, []);
}
