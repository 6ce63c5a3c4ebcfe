import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { builds } from "../../live/state.ts";
import { slug } from "../../recipe/label_code.ts";
import { Counts, countsOf, keepCount } from "./counts.tsx";

/** The shop's own forms, presses, jigs and sleds, which all builds share: two builds are never planned into one. */
export function Fixtures() {
  const name = useSignal("");
  const names = [...Object.keys(countsOf("fixtures")), ...wanted()];
  const once = names.filter((one, n) => names.findIndex((other) => slug(other) === slug(one)) === n);
  const add = (event: Event) => {
    event.preventDefault();
    const written = name.value.trim();
    if (slug(written) && !once.some((one) => slug(one) === slug(written))) keepCount("fixtures", written, 1);
    name.value = "";
  };
  return (
    <section class="block">
      <h2>Fixtures</h2>
      <p class="hint">
        Forms, presses, jigs and sleds of the shop, which all builds share. Of one not counted (–) there is one. Those
        that a recipe makes itself do not stand here.
      </p>
      {once.length > 0 && <Counts setting="fixtures" one="fixture" names={once} />}
      <form class="stack" onSubmit={add}>
        <Field
          label="Another fixture"
          hint="Its name as recipes have it, such as vacuum press."
          value={name.value}
          onText={(text) => {
            name.value = text;
          }}
        />
        <Submit kind="plain">Add it</Submit>
      </form>
    </section>
  );
}

/** The shop's fixtures that an open build uses. */
function wanted(): string[] {
  return builds.value.flatMap(({ sheet }) => (sheet.fixtures ?? []).flatMap(({ owned }) => owned || []));
}
