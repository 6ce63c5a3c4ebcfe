import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { builds, summaries } from "../../live/state.ts";
import type { Unplanned } from "../../wire.gen.ts";
import { buildPath, operationPath } from "../paths.ts";
import { fullTitle } from "../words/names.ts";

/** What stands in no plan, why, and what to do about it. */
export function UnplannedList({ unplanned }: { unplanned: readonly Unplanned[] }) {
  if (unplanned.length === 0) return null;
  return (
    <section class="block">
      <h2>Cannot be planned</h2>
      <ul class="rows">
        {unplanned.map(({ build, operation, reason }) => (
          <li key={`${build} ${operation}`} class="row">
            <Link to={operation ? operationPath(build, operation) : buildPath(build)} class="row-words" icon="warn">
              <span>
                {titleIn(build, operation)}
                <small>{reason}</small>
              </span>
              <Icon name="onward" />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

function titleIn(build: string, operation: string): string {
  if (operation === "") return summaries.value.find(({ id }) => id === build)?.name ?? build;
  const sheet = builds.value.find(({ id }) => id === build)?.sheet;
  return sheet ? fullTitle(sheet, operation) : operation;
}
