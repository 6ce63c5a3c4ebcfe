import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";
import { daysOffIn } from "../../phone/days_off.ts";
import { DaysOffList } from "./days_off_list.tsx";

/** Dates on which the shop is closed: nothing is planned for them. */
export function ClosedDates() {
  return (
    <div class="stack">
      <h3>Closed</h3>
      <DaysOffList
        off={daysOffIn(shop.value.settings.closed)}
        add="The shop is closed then"
        example="Such as Christmas. May stay empty."
        onChange={(value) => {
          void record("", { kind: "kept", setting: "closed", value }, []);
        }}
      />
    </div>
  );
}
