/**
 * Happenings as they came, checked: one of an unknown kind, or not of its form, counts as of no kind.
 *
 * So a page that meets something newer keeps it, and folds it after its update. The forms come from the server's
 * structs: bench/forms.py describes them. Twin of store/happenings.py `readable`.
 */
import { MOST_VALUE } from "../recipe/measure.ts";
import { FORMS } from "../tables.gen.ts";
import type { Happening } from "../wire.gen.ts";
import type { What } from "./book.ts";

/** A happening to the letter, as this page wrote it or the server sent it. */
export type Raw = Omit<Happening, "what"> & { readonly what: { readonly kind: string } };

type Check = (value: unknown) => boolean;

const SCALARS: Readonly<Record<string, Check>> = {
  text: (value) => typeof value === "string",
  number: (value) => Number.isFinite(value) && Math.abs(value as number) <= MOST_VALUE,
  whole: (value) => Number.isInteger(value) && Math.abs(value as number) < 2 ** 63,
  "yes-no": (value) => typeof value === "boolean",
  any: (value) => value !== undefined,
};

const CHECKS: ReadonlyMap<string, readonly (readonly [string, Check])[]> = new Map(
  Object.entries(FORMS).map(([kind, fields]) => [
    kind,
    Object.entries(fields).map(([name, form]) => [name, checkOf(form.split(" "))] as const),
  ]),
);

/** The happening; `what` is null when its kind is not known here, or it is not of its form. */
export function readable(raw: Raw): Happening {
  return { ...raw, what: isOfItsForm(raw.what) ? raw.what : null };
}

/** The happening as it came; nothing for one that `readable` could not read. */
export function rawOf({ what, ...rest }: Happening): readonly Raw[] {
  return what ? [{ ...rest, what }] : [];
}

function isOfItsForm(what: { readonly kind: string }): what is What {
  const fields = what as unknown as Readonly<Record<string, unknown>>;
  return CHECKS.get(what.kind)?.every(([name, fits]) => fits(fields[name])) ?? false;
}

/** The check of a form, given as its words. Throws RangeError for a word that no form has. */
function checkOf([word = "", ...rest]: readonly string[]): Check {
  if (word === "lists") return (value) => isRecord(value) && rest.every((name) => Array.isArray(value[name]));
  const scalar = SCALARS[word];
  if (scalar) return scalar;
  const inner = checkOf(rest);
  if (word === "optional") return (value) => value === undefined || inner(value);
  if (word === "nullable") return (value) => value === null || inner(value);
  if (word === "map") return (value) => isRecord(value) && Object.values(value).every(inner);
  throw new RangeError(`no form has the word ${word}`);
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
