import { Choice } from "../../controls/field.tsx";
import { record } from "../../live/record.ts";
import { shop } from "../../live/state.ts";

/** Where coats dry: the plan keeps dusty work away from wet ones in the same room. */
export function FinishingRoom() {
  const own = shop.value.settings.finishing_room === true;
  return (
    <section class="block">
      <h2>Finishing</h2>
      <Choice
        label="Coats of finish dry"
        value={own ? "own" : "shop"}
        options={[
          ["shop", "In the shop: the plan keeps dust away while they are wet"],
          ["own", "In a finishing room"],
        ]}
        onChoice={(room) => {
          void record("", { kind: "kept", setting: "finishing_room", value: room === "own" }, []);
        }}
      />
    </section>
  );
}
