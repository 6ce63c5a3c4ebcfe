import { units } from "../../live/state.ts";
import { show, TIME } from "../../recipe/measure.ts";
import type { Operation } from "../../wire.gen.ts";
import { listed } from "../words/names.ts";

/** What is sharpened as the last thing of an operation, and how long that takes. */
export function Sharpen({ operation }: { operation: Operation }) {
  const { sharpen = [], sharpen_minutes: minutes = 0 } = operation;
  if (sharpen.length === 0) return null;
  return (
    <section class="block">
      <h2>Then sharpen</h2>
      <p>
        {listed(sharpen)}
        {minutes > 0 && <span class="soft">, {show(minutes, TIME, units.value)} of the time above</span>}
      </p>
    </section>
  );
}
