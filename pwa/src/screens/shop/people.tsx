import { useSignal } from "@preact/signals";
import { Submit } from "../../controls/button.tsx";
import { Field } from "../../controls/field.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import { now, shop } from "../../live/state.ts";
import { dayText } from "../../phone/days_off.ts";
import { MOST_PEOPLE, namesIn, type Person, peopleIn } from "../../phone/people.ts";
import { workingDays } from "../../phone/shop_hours.ts";
import { datesText } from "../words/dates.ts";
import { listed } from "../words/names.ts";
import { PersonDialog, stationName } from "./person_dialog.tsx";

/** Who works here: the plan is for so many pairs of hands, and says whose each operation is. */
export function People() {
  const people = peopleIn(shop.value.settings.people);
  const opened = useSignal<string | null>(null);
  const shown = people.find(({ name }) => name === opened.value);
  return (
    <section class="block">
      <h2>People</h2>
      <p class="hint">
        {people.length
          ? "The plan says who does what. Tap a name to say what they may not use, and when they are away."
          : "Nobody is named: the plan is for one pair of hands that may use everything."}
      </p>
      {people.length > 0 && (
        <ul class="rows">
          {people.map((person) => (
            <li key={person.name} class="row">
              <button
                type="button"
                class="row-words"
                onClick={() => {
                  opened.value = person.name;
                }}
              >
                <span>
                  {person.name}
                  <small>{aboutPerson(person)}</small>
                </span>
                <Icon name="onward" />
              </button>
            </li>
          ))}
        </ul>
      )}
      {people.length < MOST_PEOPLE && <AddPerson people={people} />}
      {shown && (
        <PersonDialog
          person={shown}
          onClose={() => {
            opened.value = null;
          }}
          onChange={(changed) => keepPeople(people.map((one) => (one === shown ? changed : one)))}
          onGone={() => {
            opened.value = null;
            keepPeople(people.filter((one) => one !== shown));
          }}
        />
      )}
    </section>
  );
}

function AddPerson({ people }: { readonly people: readonly Person[] }) {
  const name = useSignal("");
  const written = namesIn(name.value);
  const there = written.filter((one) => people.some((other) => other.name === one));
  const fresh = written.filter((one) => !there.includes(one)).slice(0, MOST_PEOPLE - people.length);
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (!fresh.length) return;
        keepPeople([...people, ...fresh.map((one) => ({ name: one, unable: [], hours: null, away: [] }))]);
        name.value = "";
      }}
    >
      <Field
        label="Who works here"
        hint="A name, or several with commas, such as Anna, Ben. Add yourself too."
        value={name.value}
        error={there.length ? `${listed(there)} ${there.length === 1 ? "is" : "are"} here already.` : ""}
        onText={(text) => {
          name.value = text;
        }}
      />
      {fresh.length > 0 && <Submit kind="plain">Add {listed(fresh)}</Submit>}
    </form>
  );
}

/** "Not the band saw. Own hours. Away Thu 24 Dec.", or that there is nothing to say. */
function aboutPerson({ unable, hours, away }: Person): string {
  const today = dayText(new Date(now.value));
  const next = away.find(({ to }) => to >= today);
  const own = workingDays(hours);
  const facts = [
    unable.length ? `Not the ${listed(unable.map((station) => stationName(station).toLowerCase()))}` : "",
    own.text ? `Own hours, ${own.text}` : "",
    next ? `Away ${datesText(next.from, next.to, today)}` : "",
  ].filter(Boolean);
  return facts.length ? `${facts.join(". ")}.` : "May use everything, in the shop's hours.";
}

function keepPeople(value: readonly Person[]): void {
  void record("", { kind: "kept", setting: "people", value }, []);
}
