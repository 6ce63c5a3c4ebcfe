/** The story in words: what one happening says. */

import type { Book } from "../../bench/book.ts";
import { span } from "../../moments.ts";
import { dimNamed, show, type Units } from "../../recipe/measure.ts";
import type { Happening, Sheet } from "../../wire.gen.ts";
import { CLOCKS } from "./clocks.ts";
import { fullTitle, titleOf } from "./names.ts";

type What = NonNullable<Happening["what"]>;
type Teller = { readonly sheet: Sheet; readonly units: Units };

/** One line for the log and the histories. A kind from a newer page is named as such. */
export function told(what: Happening["what"], by: Teller): string {
  if (what === null) return "Something that only a newer page can read.";
  const words = known(what, by);
  const reason = "reason" in what && what.reason ? ` Reason: ${what.reason}` : "";
  return `${words}${reason}`;
}

function known(what: What, { sheet, units }: Teller): string {
  const operation = "operation" in what ? fullTitle(sheet, what.operation) : "";
  switch (what.kind) {
    case "started":
      return `Build started: ${what.name || what.sheet.title}.`;
    case "closed":
      return what.closed ? "Build put away." : "Build opened again.";
    case "began":
      return `Began: ${operation}.`;
    case "ticked":
      return `${titleOf(sheet, what.part)} is through: ${operation}.`;
    case "finished":
      return `Finished: ${operation}.`;
    case "set-up":
      return `${asSet(what, sheet, units)}${what.proved ? " Proved on scrap." : ""}`;
    case "setup-broken":
      return `Setup at the ${what.station} broken.`;
    case "mixed":
      return `Mixed: ${operation}.`;
    case "glue-on":
      return `Glue on: ${operation}${air(what)}.`;
    case "clamped":
      return `Clamped: ${operation}.`;
    case "pared":
      return `Squeeze-out pared: ${operation}.`;
    case "clamps-off":
      return `Clamps off: ${operation}.`;
    case "coat-on":
      return `Coat on: ${operation}${air(what)}.`;
    case "wiped-off":
      return `Wiped off: ${operation}.`;
    case "rags-safe":
      return `Oily rags seen to: ${operation}.`;
    case "lengthened":
      return `${CLOCKS[what.clock as keyof typeof CLOCKS]?.name ?? what.clock} of ${operation} made ${span(what.by_ms)} longer.`;
    case "acknowledged":
      return `Ring heard: ${operation}.`;
    case "measured":
      return `${sizeName(what.size)} measured${ofPiece(what.piece, sheet)}: ${sized(what, sheet, units)}.`;
    case "checked":
      return checked(what, sheet);
    case "noted":
      return `Note: ${what.text}`;
    case "photo":
      return `Photo taken. ${what.text ?? ""}`.trim();
    case "spoiled":
      return `${fullTitle(sheet, what.part)} spoiled.`;
    case "remade":
      return `${fullTitle(sheet, what.part)} begun again.`;
    case "conditions":
      return `Air at the bench${air(what)}.`;
    case "kept":
      return `Shop setting ${what.setting} changed.`;
    case "undone":
      return "Something was undone.";
    default:
      return newer(what);
  }
}

/** What is worth telling, earliest first: all that counts, but for takings-back and rings heard. */
export function storyOf({ book }: { readonly book: Book }): readonly Happening[] {
  return book.told().filter(({ what }) => what?.kind !== "undone" && what?.kind !== "acknowledged");
}

/** Names in a recipe are written with dashes or underscores; people read them with spaces. */
export function sizeName(name: string): string {
  const words = name.replace(/[-_]/g, " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function ofPiece(piece: string, sheet: Sheet): string {
  return piece && sheet.pieces.length > 1 ? ` (piece ${piece})` : "";
}

function sized({ size, value }: { size: string; value: number }, sheet: Sheet, units: Units): string {
  const dim = sheet.sizes.find(({ name }) => name === size)?.dim ?? "length";
  return show(value, dimNamed(dim), units);
}

function asSet(what: Extract<What, { kind: "set-up" }>, sheet: Sheet, units: Units): string {
  const setup = sheet.setups.find(({ id }) => id === what.setup);
  const values = Object.entries(what.values ?? {}).map(([name, value]) => {
    const dim = setup?.set.find((planned) => planned.name === name)?.dim ?? "length";
    return `${name} ${show(value, dimNamed(dim), units)}`;
  });
  return `Set up the ${what.station}: ${[setup?.title ?? what.setup, ...values].join(", ")}.`;
}

function air({ celsius, humidity }: { celsius?: number | null; humidity?: number | null }): string {
  const read = [celsius == null ? [] : [`${celsius} °C`], humidity == null ? [] : [`${humidity} %`]].flat();
  return read.length ? `, ${read.join(", ")}` : "";
}

function checked(what: Extract<What, { kind: "checked" }>, sheet: Sheet): string {
  const operation = sheet.operations.find(({ id }) => id === what.operation);
  const check = operation?.checks?.[what.check] ?? `check ${what.check + 1}`;
  return `${what.good ? "Good" : "Not good"}: ${check}.${what.note ? ` ${what.note}` : ""}`;
}

function newer(_: never): string {
  return "Something that only a newer page can read.";
}
