import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { Way } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { operationPath } from "./paths.ts";
import { type Met, meet, tickedFor, ticking } from "./scan/meet.ts";
import { TypedCode } from "./scan/typed.tsx";

/** A label by the camera, or typed where the square is torn or dusty. */
export function ScanScreen() {
  const met = useSignal<Met | null>(null);
  useEffect(() => stopTicking, []);
  const wanted = tickedFor();
  const onCode = (code: string) => {
    void meet(code).then((came) => {
      met.value = came;
    });
  };
  const left = wanted ? (wanted.view.bench.operations[wanted.operation.id]?.left.length ?? 0) : 0;
  return (
    <>
      <Top
        title={wanted ? "Tick by scanning" : "Scan"}
        over={wanted ? wanted.operation.title : ""}
        {...(wanted ? { back: operationPath(wanted.view.id, wanted.operation.id) } : {})}
      />
      {met.value && (
        <p class={met.value.good ? "met" : "met look"} role="status">
          <Icon name={met.value.good ? "done" : "warn"} large />
          <span>{met.value.sentence}</span>
        </p>
      )}
      <TypedCode onCode={onCode} />
      {wanted && (
        <div class="deeds">
          <p class="hint">
            {left ? `${left} of ${wanted.operation.parts.length} parts to go.` : "Every part is ticked."}
          </p>
          <Way to={operationPath(wanted.view.id, wanted.operation.id)} class="button main" icon="onward">
            <span>Back to the operation</span>
          </Way>
        </div>
      )}
    </>
  );
}

/** Leaving the screen ends it. */
function stopTicking(): void {
  ticking.value = null;
}
