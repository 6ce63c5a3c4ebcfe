import { Field } from "../../controls/field.tsx";
import { Refused } from "../../findings.ts";
import { withBreaks, withoutBreaks } from "../../phone/breaks.ts";
import { DAYS, type Day, hoursText, spansOf } from "../../phone/shop_hours.ts";

/** Hours of a working day as they are typed, and the days they are for. */
export type TypedHours = { readonly hours: string; readonly breaks: string; readonly days: readonly Day[] };

const NAMES: Readonly<Record<Day, string>> = {
  mon: "Mon",
  tue: "Tue",
  wed: "Wed",
  thu: "Thu",
  fri: "Fri",
  sat: "Sat",
  sun: "Sun",
};
const USUAL: readonly Day[] = DAYS.slice(0, 5);

type HoursFieldsProps = {
  readonly label: string;
  readonly hint: string;
  readonly typed: TypedHours;
  readonly onTyped: (typed: TypedHours) => void;
};

/** Places to write a working day's hours and its breaks, and the days to tap. */
export function HoursFields({ label, hint, typed, onTyped }: HoursFieldsProps) {
  const { days } = typed;
  return (
    <>
      <Field
        label={label}
        value={typed.hours}
        hint={hint}
        error={refusalOf(() => spansOf(typed.hours))}
        onText={(hours) => onTyped({ ...typed, hours })}
      />
      <Field
        label="Breaks"
        value={typed.breaks}
        hint="Like 12:00-12:30, 15:00-15:15. Empty: none."
        error={refusalOf(() => spansOf(typed.hours)) ? "" : refusalOf(() => withBreaks(typed.hours, typed.breaks))}
        onText={(breaks) => onTyped({ ...typed, breaks })}
      />
      <fieldset class="days">
        <legend>Days</legend>
        {DAYS.map((day) => (
          <button
            key={day}
            type="button"
            class="chip"
            aria-pressed={days.includes(day)}
            onClick={() => {
              onTyped({
                ...typed,
                days: DAYS.filter((one) => (one === day ? !days.includes(day) : days.includes(one))),
              });
            }}
          >
            {NAMES[day]}
          </button>
        ))}
      </fieldset>
    </>
  );
}

/** Hours as the setting has them, ready to be typed over. text, days: as `workingDays` gives them. */
export function typedOf({ text, days }: { readonly text: string; readonly days: readonly Day[] }): TypedHours {
  const chosen = days.length ? days : USUAL;
  if (refusalOf(() => spansOf(text))) return { hours: text, breaks: "", days: chosen };
  return { ...withoutBreaks(spansOf(text)), days: chosen };
}

/** What was typed as the setting has it, by day; null for none, undefined where it is wrong. */
export function keptOf({ hours, breaks, days }: TypedHours): Readonly<Partial<Record<Day, string>>> | null | undefined {
  if (refusalOf(() => withBreaks(hours, breaks))) return undefined;
  const text = hoursText(withBreaks(hours, breaks));
  return text && days.length ? Object.fromEntries(days.map((day) => [day, text])) : null;
}

/** Why something is refused; "" where it is not. */
function refusalOf(attempt: () => unknown): string {
  try {
    attempt();
    return "";
  } catch (error) {
    if (error instanceof Refused) return error.message;
    throw error;
  }
}
