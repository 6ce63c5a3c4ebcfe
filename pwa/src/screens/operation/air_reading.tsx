import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { AirForm } from "../shop/air_form.tsx";

/** The latest reading of the air, by which the clocks run, and a button to write down another. */
export function AirReading() {
  const asked = useSignal(false);
  const last = shop.value.readings.at(-1);
  const damp = last?.humidity == null ? "" : `, ${last.humidity} % humidity`;
  return (
    <section class="block air">
      <h2>Air at the bench</h2>
      <p>
        <Icon name="thermometer" />
        <span>
          {last
            ? `${last.celsius} °C${damp}, read ${clockTime(last.ms, now.value)}.`
            : "Nobody has read it: the times stand as planned."}
        </span>
      </p>
      <Button onTap={() => (asked.value = true)}>Read it now</Button>
      {asked.value && (
        <Dialog title="Air at the bench" onClose={() => (asked.value = false)}>
          <AirForm onKept={() => (asked.value = false)} />
        </Dialog>
      )}
    </section>
  );
}
