import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import type { Unplanned } from "../../wire.gen.ts";
import { buildPath, operationPath } from "../paths.ts";
import { causesOf, titlesIn } from "../words/unplanned.ts";

/** What stands in no plan, why, and what to do about it; each cause once. */
export function UnplannedList({ unplanned }: { unplanned: readonly Unplanned[] }) {
  if (unplanned.length === 0) return null;
  return (
    <section class="block">
      <h2>Cannot be planned</h2>
      <ul class="rows">
        {causesOf(unplanned).map(({ build, operations, reason, waiting }) => (
          <li key={`${build} ${operations[0]}`} class="row">
            <Link
              to={operations[0] ? operationPath(build, operations[0]) : buildPath(build)}
              class="row-words"
              icon="warn"
            >
              <span>
                {titlesIn(build, operations)}
                <small>
                  {reason}
                  {waiting.length > 0 && ` So these are not planned: ${titlesIn(build, waiting)}.`}
                </small>
              </span>
              <Icon name="onward" />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}
