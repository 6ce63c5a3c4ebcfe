import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { batched } from "../../live/batches.ts";
import { builds } from "../../live/state.ts";
import { batchPath } from "../paths.ts";
import { titleOfAll, type Work, worksOf } from "../words/whose.ts";

/** After the last step: a link to what is next. after: the operations that are done with. */
export function OnwardAction({ after }: { readonly after: readonly Work[] }) {
  const isAfter = (build: string, operation: string) =>
    after.some((one) => one.view.id === build && one.operation.id === operation);
  const next = batched.value.now.find((batch) => !batch.some((one) => isAfter(one.build, one.operation)));
  const works = worksOf(next ?? [], builds.value);
  return (
    <div class="deeds">
      <p class="hint">
        <Icon name="done" /> This is done.
      </p>
      {next && works[0] ? (
        <Link to={batchPath(next)} class="button main" icon="onward">
          <span>Next: {titleOfAll(works)}</span>
        </Link>
      ) : (
        <Link to="/" class="button main" icon="bench">
          <span>To the bench</span>
        </Link>
      )}
    </div>
  );
}
