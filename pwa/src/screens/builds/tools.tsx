import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { ReasonDialog } from "../../controls/reason_dialog.tsx";
import { record } from "../../live/record.ts";
import { cuttingListPath, logPath, printPath } from "../paths.ts";

/** The cutting list, labels to print, the log to read, and putting a build away unfinished. */
export function BuildTools({ view }: { view: BuildView }) {
  const closing = useSignal(false);
  const put = (closed: boolean, reason = "") => {
    void record(view.id, { kind: "closed", closed, reason }, []);
    closing.value = false;
  };
  return (
    <>
      <div class="pair">
        <Link to={cuttingListPath(view.id)} class="button plain" icon="rule">
          <span>Cutting list</span>
        </Link>
        <Link to={printPath(view.id)} class="button plain" icon="label">
          <span>Labels</span>
        </Link>
        <Link to={logPath(view.id)} class="button plain" icon="note">
          <span>Log</span>
        </Link>
        {view.bench.closed ? (
          <Button onTap={() => put(false)}>Open again</Button>
        ) : (
          <Button onTap={() => (closing.value = true)}>Put away</Button>
        )}
      </div>
      {closing.value && (
        <ReasonDialog
          title="Put the build away"
          usual={["Delivered as it is", "Not wanted any more", "Begun by mistake"]}
          action="Put it away"
          onReason={(reason) => put(true, reason)}
          onClose={() => (closing.value = false)}
        >
          <p>It leaves the bench; its log and labels stay, and it can be opened again.</p>
        </ReasonDialog>
      )}
    </>
  );
}
