/**
 * Label codes: seven characters drawn by chance and one that checks them, shown as `7H3K-9QXM`.
 *
 * Twin of recipe/label_code.py, where the reasons stand.
 */

import { Refused } from "../findings.ts";

/** The characters of a code: digits and capitals, without I, L, O and U. */
export const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/** How many characters a code has, with the one that checks the others. */
export const LENGTH = 8;
/** How many random bits are in a code. */
export const BITS = 35;

/** Spaces and dashes that people and keyboards put into a code. */
const SEPARATORS = " \t\r\n\u00a0-\u2010\u2011\u2012\u2013\u2014";

const READ_AS: Readonly<Record<string, string>> = { O: "0", I: "1", L: "1" };

/** What a label can stand on. */
export type Kind = "part" | "station" | "setup" | "rack";

/** The step of a label's address that tells what it stands on. */
export const PATHS = { part: "P", station: "S", setup: "U", rack: "C" } as const satisfies Readonly<
  Record<Kind, string>
>;

const ADDRESS = /^https?:\/\/[^/ \t\r\n]+\/([A-Z])\/([0-9A-Z-]+)\/?$/i;

/** What was typed or scanned is no label code. */
export class NotALabelCode extends Refused {}

/** A square that this program did not print. */
export class ForeignLabel extends NotALabelCode {}

/** What a label's square holds. name: a part's code, or the slug of a station, setup or clamp kind. */
export type Held = { readonly kind: Kind; readonly name: string };

/** A code from 35 random bits, 0 to 2**35 - 1. */
export function newCode(bits: number): string {
  if (!Number.isInteger(bits) || bits < 0 || bits >= 2 ** BITS) {
    throw new RangeError(`bits is ${bits}, wanted 0 to 2**${BITS} - 1`);
  }
  let data = "";
  for (let place = LENGTH - 2; place >= 0; place--) {
    data += ALPHABET[Math.floor(bits / 32 ** place) % 32];
  }
  return data + checkCharacter(data);
}

/** What the seven characters before it add up to. */
export function checkCharacter(data: string): string {
  let total = 0;
  for (const character of data) {
    total = timesAlpha(total ^ ALPHABET.indexOf(character));
  }
  return ALPHABET.charAt(total);
}

/** One of GF(32) times its primitive element; the field is made by x^5 + x^2 + 1. */
function timesAlpha(element: number): number {
  return element < 16 ? element * 2 : (element * 2) ^ 0b100101;
}

/** The code somebody typed. Throws NotALabelCode with what is wrong with it. */
export function readCode(text: string): string {
  const code = [...normal(text)];
  if (code.length !== LENGTH) {
    throw new NotALabelCode(
      `“${shortened(text)}” has ${code.length} characters, a label code has ${LENGTH}.`,
      "Type all of it, as printed beside the square.",
    );
  }
  const stranger = code.find((character) => !ALPHABET.includes(character));
  if (stranger !== undefined) {
    throw new NotALabelCode(
      `“${shortened(text)}” has a “${stranger}”, which no label code has.`,
      "Look at that character on the label again.",
    );
  }
  const written = code.join("");
  if (checkCharacter(written.slice(0, -1)) !== written.at(-1)) {
    throw new NotALabelCode(
      `${showCode(written)} does not add up: a character is wrong, or two are swapped.`,
      "Compare it with the label, character by character.",
    );
  }
  return written;
}

/** The text as a code would be written; characters that no code has stay as they are. */
function normal(text: string): string {
  return [...text]
    .filter((character) => !SEPARATORS.includes(character))
    .map(asciiUpper)
    .map((character) => READ_AS[character] ?? character)
    .join("");
}

/** Its capital, for the 26 letters alone. */
function asciiUpper(character: string): string {
  return /^[a-z]$/.test(character) ? character.toUpperCase() : character;
}

/** As printed: two groups of four. */
export function showCode(code: string): string {
  return `${code.slice(0, 4)}-${code.slice(4)}`;
}

/** The known codes that one slip away from what was typed, in order. */
export function near(text: string, known: Iterable<string>): string[] {
  const typed = [...normal(text)];
  return [...known].filter((code) => oneSlip(typed, [...code])).sort();
}

/** True when one edit at most turns one into the other. */
function oneSlip(typed: readonly string[], code: readonly string[]): boolean {
  const differs = typed.findIndex((character, i) => character !== code[i]);
  const start = differs < 0 ? typed.length : differs;
  const same = (from: number, as: number) => typed.slice(from).join("") === code.slice(as).join("");
  const swapped = typed.length > start + 1 && typed[start] === code[start + 1] && typed[start + 1] === code[start];
  return (
    same(start + 1, start + 1) ||
    same(start + 1, start) ||
    same(start, start + 1) ||
    (swapped && same(start + 2, start + 2))
  );
}

/** A name as it stands in an address: capitals, digits and single dashes. */
export function slug(name: string): string {
  return [...name]
    .map(asciiUpper)
    .join("")
    .replace(/[^0-9A-Z]+/g, "-")
    .replace(/^-|-$/g, "");
}

/** What a square holds: an address of ours, on whatever host, or the code alone. Throws ForeignLabel. */
export function heldIn(text: string): Held {
  const address = ADDRESS.exec(text.replace(/^[ \r\n]+|[ \r\n]+$/g, ""));
  try {
    return address === null
      ? { kind: "part", name: readCode(text) }
      : heldAt((address[1] as string).toUpperCase(), address[2] as string);
  } catch (error) {
    if (!(error instanceof NotALabelCode)) throw error;
    throw new ForeignLabel(
      `This square holds “${shortened(text)}”, which is not a label of this program.`,
      "Scan a label that was printed here.",
    );
  }
}

/** What stands under one step of our addresses. Throws NotALabelCode when there is no such step. */
function heldAt(step: string, name: string): Held {
  const kind = (Object.keys(PATHS) as Kind[]).find((candidate) => PATHS[candidate] === step);
  if (kind === undefined || slug(name) === "") {
    throw new NotALabelCode(`There is nothing under /${step}/${name}.`, "Scan a label that was printed here.");
  }
  return { kind, name: kind === "part" ? readCode(name) : slug(name) };
}

/** At most 40 characters of it. */
function shortened(text: string): string {
  const characters = [...text];
  return characters.length <= 40 ? text : `${characters.slice(0, 39).join("")}…`;
}
