import { useSignal } from "@preact/signals";
import { Button } from "../../controls/button.tsx";
import { Dialog } from "../../controls/dialog.tsx";
import { builds, shop } from "../../live/state.ts";
import type { Person } from "../../phone/people.ts";
import { workingDays } from "../../phone/shop_hours.ts";
import { MACHINES } from "../../tables.gen.ts";
import { begun } from "../words/names.ts";
import { DaysOffList } from "./days_off_list.tsx";
import { HoursFields, keptOf, type TypedHours, typedOf } from "./hours_fields.tsx";

type PersonDialogProps = {
  readonly person: Person;
  readonly onClose: () => void;
  readonly onChange: (person: Person) => void;
  readonly onGone: () => void;
};

/** What one person may not use, when they are away, and hours of their own. Each change counts at once. */
export function PersonDialog({ person, onClose, onChange, onGone }: PersonDialogProps) {
  return (
    <Dialog title={person.name} onClose={onClose}>
      <div class="stack person">
        <fieldset class="reasons">
          <legend>May not use</legend>
          {stationsFor(person).map((station) => (
            <button
              key={station}
              type="button"
              class="chip"
              aria-pressed={person.unable.includes(station)}
              onClick={() => onChange({ ...person, unable: toggled(person.unable, station) })}
            >
              {stationName(station)}
            </button>
          ))}
        </fieldset>
        <h3>Away</h3>
        <DaysOffList
          off={person.away}
          add={`${person.name} is away then`}
          example="Such as holidays. May stay empty."
          onChange={(away) => onChange({ ...person, away })}
        />
        <OwnHours person={person} onChange={onChange} />
        <Button kind="grave" onTap={onGone}>
          {person.name} works here no more
        </Button>
      </div>
    </Dialog>
  );
}

function OwnHours({ person, onChange }: { person: Person; onChange: (person: Person) => void }) {
  const own = useSignal(Boolean(person.hours));
  const changed = useSignal<TypedHours | null>(null);
  const before = typedOf(workingDays(person.hours ?? shop.value.settings.hours));
  const typed = changed.value ?? before;
  const wanted = keptOf(typed);
  const isNew = wanted && JSON.stringify(wanted) !== JSON.stringify(person.hours);
  return (
    <>
      <label class="tickbox">
        <input
          type="checkbox"
          checked={own.value}
          onChange={() => {
            own.value = !own.value;
            changed.value = null;
            if (!own.value && person.hours) onChange({ ...person, hours: null });
          }}
        />
        <span>Other hours than the shop's</span>
      </label>
      {own.value && (
        <>
          <HoursFields
            label="Their hours"
            hint="Like 08:00-12:00."
            typed={typed}
            onTyped={(next) => {
              changed.value = next;
            }}
          />
          {isNew && (
            <Button
              onTap={() => {
                onChange({ ...person, hours: wanted });
                changed.value = null;
              }}
            >
              Keep these hours
            </Button>
          )}
        </>
      )}
    </>
  );
}

/** The machines of the trade, then other stations that open builds use or that are named already. */
function stationsFor({ unable }: Person): readonly string[] {
  const used = builds.value.flatMap(({ sheet }) => sheet.operations.map(({ station }) => station));
  return [...new Set([...Object.keys(MACHINES), ...unable, ...used])].filter(Boolean);
}

function toggled(stations: readonly string[], station: string): readonly string[] {
  return stations.includes(station) ? stations.filter((one) => one !== station) : [...stations, station];
}

/** "Band saw". */
export function stationName(station: string): string {
  return MACHINES[station] ?? begun(station);
}
