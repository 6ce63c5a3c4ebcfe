/**
 * Happenings as they came, read with care: one of an unknown kind, or not of its form, counts as of no kind.
 *
 * So a page that meets something newer keeps it, and folds it after its update. Twin: bench/happenings.py `readable`.
 */
import type { Happening } from "../wire.gen.ts";
import { IDENTIFY, type Kind, type What } from "./book.ts";

/** A happening to the letter, as this page wrote it or the server sent it. */
export type Raw = Omit<Happening, "what"> & { readonly what: { readonly kind: string } };

type Form = "text" | "number" | "whole" | "yes-no" | "numbers" | "texts" | "sheet" | "any";

/** The fields of each kind and what they hold; "?" after those that may be left out, "0" after those that may be null. */
const FORMS: Readonly<Record<Kind, Readonly<Record<string, `${Form}${"" | "?" | "?0"}`>>>> = {
  started: { name: "text", sheet: "sheet", recipe: "text", codes: "texts" },
  closed: { closed: "yes-no", reason: "text?" },
  began: { operation: "text" },
  ticked: { operation: "text", part: "text" },
  finished: { operation: "text", reason: "text?" },
  "set-up": { setup: "text", station: "text", values: "numbers?", proved: "yes-no?" },
  "setup-broken": { station: "text" },
  mixed: { operation: "text" },
  "glue-on": { operation: "text", celsius: "number?0", humidity: "number?0" },
  clamped: { operation: "text" },
  pared: { operation: "text" },
  "clamps-off": { operation: "text", reason: "text?" },
  "coat-on": { operation: "text", celsius: "number?0", humidity: "number?0" },
  "wiped-off": { operation: "text" },
  "rags-safe": { operation: "text" },
  lengthened: { operation: "text", clock: "text", by_ms: "whole", reason: "text?" },
  acknowledged: { operation: "text", ring: "text" },
  measured: { size: "text", piece: "text", value: "number" },
  checked: { operation: "text", check: "whole", good: "yes-no", note: "text?" },
  noted: { text: "text" },
  photo: { sha256: "text", type: "text", bytes: "whole", text: "text?" },
  spoiled: { part: "text", reason: "text?" },
  remade: { part: "text", code: "text" },
  conditions: { celsius: "number", humidity: "number?0" },
  kept: { setting: "text", value: "any" },
  undone: { happening: "text" },
};

const IS: Readonly<Record<Form, (value: unknown) => boolean>> = {
  text: (value) => typeof value === "string",
  number: (value) => typeof value === "number",
  whole: (value) => Number.isInteger(value) && Math.abs(value as number) < 2 ** 63,
  "yes-no": (value) => typeof value === "boolean",
  numbers: (value) => isRecord(value) && Object.values(value).every(Number.isFinite),
  texts: (value) => isRecord(value) && Object.values(value).every(IS.text),
  sheet: (value) =>
    isRecord(value) &&
    ["parts", "assemblies", "setups", "operations", "sizes", "pieces"].every((list) => Array.isArray(value[list])),
  any: (value) => value !== undefined,
};

/** The happening; `what` is null when its kind is not known here, or it is not of its form. */
export function readable(raw: Raw): Happening {
  return { ...raw, what: isOfItsForm(raw.what) ? raw.what : null };
}

function isOfItsForm(what: { readonly kind: string }): what is What {
  if (!Object.hasOwn(IDENTIFY, what.kind)) return false;
  const fields = what as unknown as Readonly<Record<string, unknown>>;
  return Object.entries(FORMS[what.kind as Kind]).every(([name, form]) => fits(fields[name], form));
}

function fits(value: unknown, form: string): boolean {
  if (value === undefined) return form.includes("?");
  if (value === null && form.endsWith("0")) return true;
  return IS[form.replace(/\?0?$/, "") as Form](value);
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
