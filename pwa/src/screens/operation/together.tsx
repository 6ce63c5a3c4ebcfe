import { batchAround } from "../../bench/batches.ts";
import { isOpen } from "../../bench/loaded_builds.ts";
import { Link } from "../../controls/button.tsx";
import { builds } from "../../live/state.ts";
import { batchPath } from "../paths.ts";
import { type Work, whose, worksOf } from "../words/whose.ts";
import { holding, inTheWay } from "./objections.ts";

/** The way to take this operation up with the same one of other pieces, where those are ready too. */
export function Together({ view, operation }: Work) {
  const open = builds.value.filter(({ bench }) => isOpen(bench));
  const around = worksOf(batchAround({ build: view.id, operation: operation.id }, open), open);
  const works = around.filter((one) => one.operation === operation || isFree(one));
  if (works.length < 2) return null;
  return (
    <Link
      to={batchPath(works.map((one) => ({ build: one.view.id, operation: one.operation.id })))}
      class="button"
      icon="plus"
    >
      <span>Take {whose(works)} together</span>
    </Link>
  );
}

function isFree({ view, operation }: Work): boolean {
  return holding(view, operation).length === 0 && !inTheWay(view, operation);
}
