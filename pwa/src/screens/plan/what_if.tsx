import { useSignal } from "@preact/signals";
import { Button, Link, Submit } from "../../controls/button.tsx";
import { Field, PickOne } from "../../controls/field.tsx";
import { Notice } from "../../controls/notice.tsx";
import { updatePlan } from "../../live/plan.ts";
import { askServer } from "../../live/session.ts";
import { builds, shop, syncing } from "../../live/state.ts";
import { peopleIn } from "../../phone/people.ts";
import { hoursOf } from "../../phone/shop_hours.ts";
import { type Reply, TIMEOUT_MS } from "../../store/server_client.ts";
import { GLUES } from "../../tables.gen.ts";
import type { Difference, PresentedPlan } from "../../wire.gen.ts";
import { begun, listed } from "../words/names.ts";
import { type Changes, gluesOf, isAnother, kindsOf, UNCHANGED, whatIfOf } from "./changes.ts";
import { Outcome } from "./outcome.tsx";

/** Plans for a changed shop: more clamps, another glue, longer hours, Saturdays, a second pair of hands. */
export function WhatIf({ plan }: { plan: PresentedPlan }) {
  const changes = useSignal(UNCHANGED);
  const reply = useSignal<Reply<Difference> | "asking" | null>(null);
  const change = (changed: Partial<Changes>) => {
    changes.value = { ...changes.value, ...changed };
    reply.value = null;
  };
  const wanted = whatIfOf(changes.value);
  return (
    <section class="block screen-only">
      <h2>What if</h2>
      {syncing.value.state === "away" && <ServerAway />}
      <form
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          if (!isAnother(wanted) || hoursOf(changes.value.hours) === null) return;
          reply.value = "asking";
          const question = { body: wanted, timeoutMs: TIMEOUT_MS.plan };
          void askServer<Difference>("/plan/what-if", question).then(async (got) => {
            await updatePlan(); // a better one may have been found on the way, and that is what it is compared with
            reply.value = got;
          });
        }}
      >
        <Controls plan={plan} changes={changes.value} onChange={change} />
        <Submit>Try it</Submit>
      </form>
      <div aria-live="polite">
        {reply.value === "asking" && <p class="soft">Planning it again…</p>}
        {reply.value !== null && reply.value !== "asking" && <Outcome reply={reply.value} plan={plan} />}
      </div>
    </section>
  );
}

function ServerAway() {
  return (
    <Notice
      icon="away"
      what="Trying out needs the server, and it is away."
      next="It makes a plan for each try. Come back to this when the line at the top says that all is with the server."
    />
  );
}

type ControlsProps = {
  readonly plan: PresentedPlan;
  readonly changes: Changes;
  readonly onChange: (changed: Partial<Changes>) => void;
};

function Controls({ plan, changes, onChange }: ControlsProps) {
  const { clamps, glue, hours, saturday, hands } = changes;
  const people = peopleIn(shop.value.settings.people).length;
  const { counted, uncounted } = kindsOf(plan, shop.value.settings.clamps);
  const sheetOf = (build: string) => builds.value.find(({ id }) => id === build)?.sheet;
  const more = (kind: string, step: number) =>
    onChange({ clamps: { ...clamps, [kind]: Math.max(-99, Math.min(99, (clamps[kind] ?? 0) + step)) } });
  return (
    <>
      {counted.length > 0 && (
        <ul class="rows">
          {counted.map((kind) => (
            <ClampCounter
              key={kind}
              words={`${begun(kind)} clamps`}
              count={clamps[kind] ?? 0}
              onStep={(by) => more(kind, by)}
            />
          ))}
        </ul>
      )}
      {uncounted.length > 0 && (
        <p>
          To try more {listed(uncounted)} clamps, first count yours under{" "}
          <Link to="/shop" class="text-way">
            Shop
          </Link>
          .
        </p>
      )}
      {gluesOf(plan, sheetOf).map((name) => (
        <PickOne
          key={name}
          label={`In place of ${GLUES[name] ?? name}`}
          value={glue[name] ?? name}
          options={[[name, "As it is"], ...Object.entries(GLUES).filter(([other]) => other !== name)]}
          onPick={(other) => onChange({ glue: { ...glue, [name]: other } })}
        />
      ))}
      <Field
        label="Other hours"
        value={hours}
        hint="Such as 08:00-19:00, or 07:00-12:00, 13:00-18:00. Empty: the shop's own."
        error={hoursOf(hours) !== null ? "" : "Write it like 08:00-19:00; over midnight like 18:00-01:00."}
        onText={(typed) => onChange({ hours: typed })}
      />
      <label class="tickbox">
        <input type="checkbox" checked={saturday} onChange={() => onChange({ saturday: !saturday })} />
        <span>Work on Saturdays too</span>
      </label>
      <label class="tickbox">
        <input
          type="checkbox"
          checked={hands > 1}
          onChange={() => onChange({ hands: hands > 1 ? 1 : Math.max(1, people) + 1 })}
        />
        <span>{people > 1 ? "One more pair of hands" : "A second pair of hands"}</span>
      </label>
    </>
  );
}

type CounterProps = { readonly words: string; readonly count: number; readonly onStep: (by: number) => void };

/** How many more, or fewer. */
function ClampCounter({ words, count, onStep }: CounterProps) {
  return (
    <li class="row stepper">
      <span>{words}</span>
      <Button onTap={() => onStep(-1)}>
        −<span class="unseen"> one of {words}</span>
      </Button>
      <output class="figure">{count > 0 ? `+${count}` : count < 0 ? `−${-count}` : "0"}</output>
      <Button onTap={() => onStep(1)}>
        +<span class="unseen"> one of {words}</span>
      </Button>
    </li>
  );
}
