import { useSignal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { againSentences } from "../../bench/measured.ts";
import { Button } from "../../controls/button.tsx";
import { ReasonDialog } from "../../controls/reason_dialog.tsx";
import { record } from "../../live/record.ts";
import type { Operation } from "../../wire.gen.ts";
import { MeasureDialog } from "./measure.tsx";
import { subjectsOf } from "./steps.ts";

type AgainProps = { readonly view: BuildView; readonly operation: Operation };

/** It is finished, and what it measured is out of its bounds: measure it again, or say why that does not matter. */
export function MeasureAgain({ view, operation }: AgainProps) {
  const asked = useSignal<"measure" | "reason" | null>(null);
  const close = () => (asked.value = null);
  const names = view.bench.operations[operation.id]?.to_measure ?? [];
  const size = view.sheet.sizes.find(({ name }) => name === names[0]);
  const sentences = againSentences(view.sheet, view.bench, operation);
  const goOn = (reason: string) => {
    void record(view.id, { kind: "finished", operation: operation.id, reason }, subjectsOf(operation));
    close();
  };
  return (
    <div class="deeds">
      <p class="hint">{sentences.join(" ")}</p>
      <Button kind="main" icon="rule" onTap={() => (asked.value = "measure")}>
        Measure again
      </Button>
      <Button onTap={() => (asked.value = "reason")}>Go on as it is</Button>
      {asked.value === "measure" && size && (
        <MeasureDialog view={view} operation={operation} size={size} onClose={close} />
      )}
      {asked.value === "reason" && (
        <ReasonDialog
          title="Not within its bounds"
          usual={["It does not matter here", "The meter reads wrong", "It goes on changing where it will stand"]}
          action="Go on all the same"
          onReason={goOn}
          onClose={close}
        >
          <p>{sentences.join(" ")} What comes after it waits for that. The log keeps your reason.</p>
        </ReasonDialog>
      )}
    </div>
  );
}
