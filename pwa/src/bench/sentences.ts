/** What a happening says, in one sentence. Twin of bench/sentences.py, where the reasons stand. */
import { MINUTE_MS } from "../durations.ts";
import { boundsText, isWithin } from "../recipe/bounds.ts";
import { showCode } from "../recipe/label_code.ts";
import { dimNamed, plain, show, TIME, type Units } from "../recipe/measure.ts";
import type { Happening, Sheet } from "../wire.gen.ts";
import { CLOCKS, type ClockKind } from "./clock_kinds.ts";
import { HAPPENINGS } from "./happening_kinds.ts";

const FROM_A_NEWER_VERSION = "An entry that only a newer version can read.";

const OFF_FOR_UNKNOWN = "For how long it was off before is not known: what ran meanwhile may end later than shown.";

const OPTIONAL = /\[([^\]]*)\]/g;
const PLACE = /\{(\w+)(?:\?([^:}]*):([^}]*))?\}/g;

/** How values are written. title: an id of the sheet as a person calls it. */
export type Wording = { readonly sheet: Sheet; readonly units: Units; readonly title: (id: string) => string };

type Value = string | boolean;
/** A happening's fields; which of them are there, the kind's form and its sentence say. */
// biome-ignore lint/suspicious/noExplicitAny: a sentence names fields of any kind; a test fills every one
type Fields = Readonly<Record<string, any>>;

/** The sentence; null is a kind from a newer page. */
export function sentenceOf(what: Happening["what"], wording: Wording): string {
  if (!what) return FROM_A_NEWER_VERSION;
  return filled(HAPPENINGS[what.kind].sentence, (name) => shownValue(name, what, wording));
}

/** The sentence with its values. */
export function filled(sentence: string, value: (name: string) => Value): string {
  const isEmpty = (part: string) => [...part.matchAll(PLACE)].some(([, name = ""]) => value(name) === "");
  return sentence
    .replace(OPTIONAL, (_, part: string) => (isEmpty(part) ? "" : part))
    .replace(PLACE, (_, name: string, yes?: string, no?: string) => {
      if (yes === undefined || no === undefined) return String(value(name));
      return value(name) ? yes : no;
    });
}

/** One value of a sentence: a field of the happening as it is, or written by VALUES. */
function shownValue(name: string, what: Fields, wording: Wording): Value {
  return VALUES[name]?.(what, wording) ?? what[name] ?? "";
}

function clockName(kind: string): string {
  return Object.hasOwn(CLOCKS, kind) ? CLOCKS[kind as ClockKind].name : kind;
}

/** A temperature in both scales: "19.6 °C (67 °F)"; "" for none. */
export function degrees(celsius: number | null | undefined): string {
  return celsius == null ? "" : `${plain(celsius, 1)} °C (${plain(celsius * 1.8 + 32, 0)} °F)`;
}

/** A reading to a tenth; "" for none. */
function figure(value: number | null | undefined): string {
  return value === null || value === undefined ? "" : plain(value, 1);
}

/** What was looked at; its number, from 1, where the sheet does not have it. */
function checkText({ operation, check }: Fields, { sheet }: Wording): string {
  return sheet.operations.find(({ id }) => id === operation)?.checks?.[check] ?? `check ${check + 1}`;
}

function measured({ size, value }: Fields, { sheet, units }: Wording): string {
  return show(value, dimNamed(sheet.sizes.find(({ name }) => name === size)?.dim ?? "length"), units);
}

/** The drawing's value of a size; "" where the sheet has no such size. */
function planned({ size }: Fields, { sheet, units }: Wording): string {
  const known = sheet.sizes.find(({ name }) => name === size);
  return known ? show(known.plan, dimNamed(known.dim), units) : "";
}

/** The bounds of a size that was measured out of them; "" where it is within them or has none. */
function missedBounds({ size, value }: Fields, { sheet, units }: Wording): string {
  const known = sheet.sizes.find(({ name }) => name === size);
  return !known || isWithin(known, value) ? "" : boundsText(known, units);
}

/** Values as set, each beside its plan; "" where none was recorded. */
function setValues({ setup, values = {} }: Fields, { sheet, units }: Wording): string {
  const plans = sheet.setups.find(({ id }) => id === setup)?.set ?? [];
  const shown = Object.entries(values as Readonly<Record<string, number>>).map(([name, value]) => {
    const plan = plans.find((one) => one.name === name);
    const dim = dimNamed(plan?.dim ?? "number");
    return `${name} ${show(value, dim, units)}${plan ? ` (planned ${show(plan.plan, dim, units)})` : ""}`;
  });
  return shown.join(", ");
}

/** By name, how a value is written that is not a field's own text. */
const VALUES: Readonly<Record<string, (what: Fields, wording: Wording) => Value>> = {
  title: (_, { sheet }) => sheet.title,
  pieces: (_, { sheet }) => String(sheet.pieces.length),
  operation: ({ operation }, { title }) => title(operation),
  part: ({ part }, { title }) => title(part),
  setup: ({ setup }, { title }) => title(setup),
  values: setValues,
  celsius: ({ celsius }) => degrees(celsius),
  humidity: ({ humidity }) => figure(humidity),
  clock: ({ clock }) => clockName(clock),
  ring: ({ ring }) => clockName(ring.split("|")[0]),
  by_ms: ({ by_ms }, { units }) => show(by_ms / MINUTE_MS, TIME, units),
  far: ({ by_ms }, { units }) => show(Math.abs(by_ms) / MINUTE_MS, TIME, units),
  is_forward: ({ by_ms }) => by_ms > 0,
  doubt: ({ earlier_ms }) => (earlier_ms === null || earlier_ms === undefined ? "" : OFF_FOR_UNKNOWN),
  size: ({ size }) => size.replace(/[-_]/g, " "),
  piece: ({ piece }, { sheet }) => (sheet.pieces.length > 1 ? piece : ""),
  value: measured,
  planned,
  bounds: missedBounds,
  check: checkText,
  code: ({ code }) => showCode(code),
};
