import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { AirForm } from "../shop/air_form.tsx";
import { airText, oldReading } from "../words/air.ts";

/** The latest reading of the air, by which the clocks run, whether it is too old, and a button to write down another. */
export function AirReading() {
  const last = shop.value.readings.at(-1);
  return (
    <section class="block air">
      <h2>Air at the bench</h2>
      <p>
        <Icon name="thermometer" />
        <span>
          {last
            ? `${airText(last)}, read ${clockTime(last.ms, now.value)}.`
            : "Nobody has read it: the times stand as planned."}
        </span>
      </p>
      {oldReading() && (
        <p class="look">
          <Icon name="warn" />
          <span>
            Too old to go by. Read it again: until then the careful times count, the longer in clamps and the shorter
            open time.
          </span>
        </p>
      )}
      <ReadAir />
    </section>
  );
}

/** A button that asks for a new reading of the air. */
export function ReadAir() {
  const asked = useSignal(false);
  return (
    <>
      <Button onTap={() => (asked.value = true)}>Read it now</Button>
      {asked.value && (
        <Dialog title="Air at the bench" onClose={() => (asked.value = false)}>
          <AirForm onKept={() => (asked.value = false)} />
        </Dialog>
      )}
    </>
  );
}
