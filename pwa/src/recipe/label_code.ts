/**
 * Label codes: seven random characters and a check character, shown as `7H3K-9QXM`.
 *
 * Twin: backend/benchbell/recipe/label_code.py, which gives the reasons.
 */

import { Refused } from "../findings.ts";

/** The characters of a code: digits and capitals, without I, L, O and U. */
export const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/** How many characters a code has, with the one that checks the others. */
export const LENGTH = 8;
/** How many random bits are in a code. */
export const BITS = 35;

/** Spaces and dashes that people and keyboards put into a code; they are ignored. */
const SEPARATORS = " \t\r\n\u00a0-\u2010\u2011\u2012\u2013\u2014";

const READ_AS: Readonly<Record<string, string>> = { O: "0", I: "1", L: "1" };

/** What a label can stand on. */
export type Kind = "part" | "fixture" | "station" | "setup" | "rack";

/** By kind of thing, the letter in its label's address: /P/CODE. An assembly has a code and counts as a part. */
export const PATHS = { part: "P", fixture: "F", station: "S", setup: "U", rack: "C" } as const satisfies Readonly<
  Record<Kind, string>
>;

const ADDRESS = /^https?:\/\/[^/ \t\r\n]+\/([A-Z])\/([0-9A-Z-]+)\/?$/i;

/** A text that was typed or scanned is not a label code. */
export class NotALabelCode extends Refused {}

/** A QR code was not printed by this program. */
export class ForeignLabel extends NotALabelCode {}

/** The thing a label names. name: a part's code, or the slug of a shop's fixture, a station, setup … */
export type LabelTarget = { readonly kind: Kind; readonly name: string };

/** A code from 35 random bits, as a number from 0 to 2**35 - 1. Throws RangeError when it is outside that range. */
export function newCode(bits: number): string {
  if (!Number.isInteger(bits) || bits < 0 || bits >= 2 ** BITS) {
    throw new RangeError(`bits is ${bits}, not 0 to 2**${BITS} - 1`);
  }
  let data = "";
  for (let place = LENGTH - 2; place >= 0; place--) {
    data += ALPHABET[Math.floor(bits / 32 ** place) % 32];
  }
  return data + checkCharacter(data);
}

/** The check character of seven characters: their weighted sum. */
export function checkCharacter(data: string): string {
  let total = 0;
  for (const character of data) {
    total = timesAlpha(total ^ ALPHABET.indexOf(character));
  }
  return ALPHABET.charAt(total);
}

/** An element of GF(32) times the primitive element. The field's polynomial is x^5 + x^2 + 1. */
function timesAlpha(element: number): number {
  return element < 16 ? element * 2 : (element * 2) ^ 0b100101;
}

/** The code in a typed text. Throws NotALabelCode when its length, a character or the check character is wrong. */
export function readCode(text: string): string {
  const code = [...normalized(text)];
  if (code.length !== LENGTH) {
    throw new NotALabelCode(
      `“${shortened(text)}” has ${code.length} characters, a label code has ${LENGTH}.`,
      "Type the whole code, as printed beside the square.",
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
      `${showCode(written)} does not add up: one character is wrong, or two are swapped.`,
      "Compare it with the label, character by character.",
    );
  }
  return written;
}

/** The text in the characters of codes, without separators. Characters that no code has stay. */
function normalized(text: string): string {
  return [...text]
    .filter((character) => !SEPARATORS.includes(character))
    .map(asciiUpper)
    .map((character) => READ_AS[character] ?? character)
    .join("");
}

/** The capital of an ASCII letter; any other character as it is. */
function asciiUpper(character: string): string {
  return /^[a-z]$/.test(character) ? character.toUpperCase() : character;
}

/** The code as printed: two groups of four characters. */
export function showCode(code: string): string {
  return `${code.slice(0, 4)}-${code.slice(4)}`;
}

/** The known codes one edit away from a typed text, sorted. */
export function similarCodes(text: string, known: Iterable<string>): string[] {
  const typed = [...normalized(text)];
  return [...known].filter((code) => isOneEditAway(typed, [...code])).sort();
}

/** Whether at most one edit turns one into the other. */
function isOneEditAway(typed: readonly string[], code: readonly string[]): boolean {
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

/** A name for use in an address: capitals, digits and single dashes. */
export function slug(name: string): string {
  return [...name]
    .map(asciiUpper)
    .join("")
    .replace(/[^0-9A-Z]+/g, "-")
    .replace(/^-|-$/g, "");
}

/**
 * The thing that a QR code's text names: an address of a label, on any host, or a code alone.
 * Throws ForeignLabel when the text is neither.
 */
export function labelTarget(text: string): LabelTarget {
  const address = ADDRESS.exec(text.replace(/^[ \r\n]+|[ \r\n]+$/g, ""));
  try {
    return address === null
      ? { kind: "part", name: readCode(text) }
      : targetAt((address[1] as string).toUpperCase(), address[2] as string);
  } catch (error) {
    if (!(error instanceof NotALabelCode)) throw error;
    throw new ForeignLabel(
      `This square holds “${shortened(text)}”, which is not a label of this program.`,
      "Scan a label that was printed here.",
    );
  }
}

/** The thing at the address /LETTER/NAME. Throws NotALabelCode when there is no such letter or name. */
function targetAt(letter: string, name: string): LabelTarget {
  const kind = (Object.keys(PATHS) as Kind[]).find((candidate) => PATHS[candidate] === letter);
  if (kind === undefined || slug(name) === "") {
    throw new NotALabelCode(`There is nothing at /${letter}/${name}.`, "Scan a label that was printed here.");
  }
  return { kind, name: kind === "part" ? readCode(name) : slug(name) };
}

/** A text cut to 40 characters, to quote in a sentence. */
function shortened(text: string): string {
  const characters = [...text];
  return characters.length <= 40 ? text : `${characters.slice(0, 39).join("")}…`;
}
