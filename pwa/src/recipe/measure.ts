/**
 * Lengths, angles, times and percentages with their units: read from text, shown in millimetres or inches.
 * Base units: mm, degrees, minutes, percent; mm² and mm³ follow. Twin: backend/benchbell/recipe/measure.py.
 * All rounding is to the nearest step, halves up: 2.5 gives 3, -2.5 gives -2.
 */
import { Refused } from "../findings.ts";
import { commonDivisor, floorDiv, floorMod } from "./whole_numbers.ts";

export type Units = "mm" | "in";

/** A dimension: the powers of mm, degrees, minutes and percent in a value; no percent is none. */
export type Dim = {
  readonly length: number;
  readonly angle: number;
  readonly time: number;
  readonly percent?: number;
};

/** A value in base units: mm, degrees, minutes, percent. */
export type Quantity = { readonly value: number; readonly dim: Dim };

/** A text is not a size, angle, time or number. */
export class NotAMeasure extends Refused {}

export const NUMBER: Dim = { length: 0, angle: 0, time: 0 };
export const LENGTH: Dim = { length: 1, angle: 0, time: 0 };
export const AREA: Dim = { length: 2, angle: 0, time: 0 };
export const VOLUME: Dim = { length: 3, angle: 0, time: 0 };
export const ANGLE: Dim = { length: 0, angle: 1, time: 0 };
export const TIME: Dim = { length: 0, angle: 0, time: 1 };
export const PERCENT: Dim = { length: 0, angle: 0, time: 0, percent: 1 };
const DIM_NAMES: readonly (readonly [Dim, string])[] = [
  [NUMBER, "number"],
  [LENGTH, "length"],
  [AREA, "area"],
  [VOLUME, "volume"],
  [ANGLE, "angle"],
  [TIME, "time"],
  [PERCENT, "percentage"],
];

// Each unit in base units, as a fraction: 1 3/4 in is then 44.45 mm to the last bit.
const UNITS: ReadonlyMap<string, readonly [number, number, Dim]> = new Map([
  ["mm", [1, 1, LENGTH]],
  ["cm", [10, 1, LENGTH]],
  ["m", [1000, 1, LENGTH]],
  ["in", [127, 5, LENGTH]],
  ["ft", [1524, 5, LENGTH]],
  ["deg", [1, 1, ANGLE]],
  ["s", [1, 60, TIME]],
  ["min", [1, 1, TIME]],
  ["h", [60, 1, TIME]],
  ["d", [1440, 1, TIME]],
  ["%", [1, 1, PERCENT]],
]);
const UNIT_ALIASES: ReadonlyMap<string, string> = new Map([
  ["''", "in"],
  ['"', "in"],
  ["″", "in"],
  ["”", "in"],
  ["'", "ft"],
  ["′", "ft"],
  ["’", "ft"],
  ["°", "deg"],
  ["day", "d"],
  ["days", "d"],
]);
const SMALLER_UNITS: ReadonlyMap<string, readonly string[]> = new Map([
  ["ft", ["in"]],
  ["d", ["h", "min", "s"]],
  ["h", ["min", "s"]],
  ["min", ["s"]],
]);
const VULGAR: ReadonlyMap<string, number> = new Map([
  ["½", 1 / 2],
  ["⅓", 1 / 3],
  ["⅔", 2 / 3],
  ["¼", 1 / 4],
  ["¾", 3 / 4],
  ["⅕", 1 / 5],
  ["⅖", 2 / 5],
  ["⅗", 3 / 5],
  ["⅘", 4 / 5],
  ["⅙", 1 / 6],
  ["⅚", 5 / 6],
  ["⅛", 1 / 8],
  ["⅜", 3 / 8],
  ["⅝", 5 / 8],
  ["⅞", 7 / 8],
]);
const GAP = "[ \\t\\u00a0\\u2009\\u202f]";
const ENDS = new RegExp(`^${GAP}+|${GAP}+$`, "g");
const GAPS = new RegExp(`${GAP}*`, "y");
const FRACTION = new RegExp(`(?:([0-9]+)${GAP}+)?([0-9]+)${GAP}*[/⁄]${GAP}*([0-9]+)(?![0-9.])`, "y");
const VULGAR_NUMBER = new RegExp(`([0-9]*)${GAP}*([${[...VULGAR.keys()].join("")}])`, "y");
const DECIMAL = /[0-9]+(?:\.[0-9]+)?|\.[0-9]+/y;
const UNIT = new RegExp(`${GAP}*((?:days|day|deg|min|mm|cm|in|ft|m|s|h|d)(?![A-Za-z_])|''|["″”'′’°%])`, "y");
const KNOWN_UNITS = "mm, cm, m, in, \", ft, ', deg, °, s, min, h, d, days or %";
const MOST_CHARACTERS = 60;
/** In base units, also of a size measured or a reading: more than any workshop has. */
export const MOST_VALUE = 1e9;
/** Such figures are not spelt out; more than 1e306 mm could not even be made inches. */
const BEYOND_SENSE = 1e12;
/** The finest marks of an inch rule; and of such a step what sums of binary fractions may be off: 0.4 nm. */
const [INCH_STEP, ON_A_MARK] = [64, 1e-6];
/** Error of binary fractions: 2.55 / 0.1 falls just short of 25.5. */
export const TOLERANCE = 1e-9;

/**
 * The quantity in a text: `1 3/4 in`, `5' 3 1/2"`, `-2.5 mm`, `7°`, `1 h 30 min`, `12`.
 * Throws NotAMeasure when the text is not one quantity, or is too long or too large.
 */
export function read(text: string): Quantity {
  const trimmed = text.replace(ENDS, "");
  const length = [...trimmed].length;
  if (length === 0) throw new NotAMeasure("No size is written.", "Write one such as 19 mm or 3/4 in.");
  if (length > MOST_CHARACTERS)
    throw new NotAMeasure(`A size has at most ${MOST_CHARACTERS} characters, this has ${length}.`, "Write it shorter.");
  const negative = /^[-−]/.test(trimmed);
  const body = negative ? trimmed.slice(pastGap(trimmed, 1)) : trimmed;
  const found = scan(body);
  if (found === null)
    throw new NotAMeasure(`“${trimmed}” does not begin with a number.`, "Write one such as 19 mm or 3/4 in.");
  const rest = body.slice(pastGap(body, found.end));
  if (rest) throw restError(trimmed, rest);
  return negative ? { value: -found.value + 0, dim: found.dim } : { value: found.value, dim: found.dim };
}

/** An exception for the `rest` of a text, which could not be read. */
function restError(text: string, rest: string): NotAMeasure {
  if (rest.startsWith(","))
    return new NotAMeasure(`“${text}” has a comma.`, `Write a point for decimals, as in ${text.replaceAll(",", ".")}.`);
  if (/^[0-9]/.test(rest))
    return new NotAMeasure(`“${text}” has a second number, “${rest}”.`, "Write one number, as in 1000 mm or 1 3/4 in.");
  if (/^[-−]/.test(rest))
    return new NotAMeasure(`“${text}” has a dash inside.`, "Write a space before a fraction, as in 1 3/4 in.");
  return new NotAMeasure(`“${text}” has “${rest}” where a unit belongs.`, `Use ${KNOWN_UNITS}.`);
}

type Scanned = { readonly value: number; readonly dim: Dim; readonly end: number };

/** The unsigned quantity a text begins with, and its end, or null. Throws NotAMeasure for a wrong fraction or size. */
function scan(text: string): Scanned | null {
  const found = scanNumber(text, 0);
  if (found === null) return null;
  const unit = scanUnit(text, found.end);
  const sum = unit ? scanSmallerUnits(text, toBaseUnits(found.value, unit.name), unit.name, unit.end) : found;
  const written = text.slice(0, sum.end).slice(0, 20);
  if (!(sum.value <= MOST_VALUE))
    throw new NotAMeasure(`“${written}” is larger than any workshop.`, "Check the digits and the unit.");
  return { ...sum, dim: unit ? dimOf(unit.name) : NUMBER };
}

type Found = { readonly value: number; readonly end: number };

/** A value in base units with the smaller units that follow it added, as inches follow feet; and where they end. */
function scanSmallerUnits(text: string, value: number, unit: string, end: number): Found {
  const found = scanNumber(text, pastGap(text, end));
  const smaller = found && scanUnit(text, found.end);
  if (!found || !smaller || !SMALLER_UNITS.get(unit)?.includes(smaller.name)) return { value, end };
  return scanSmallerUnits(text, value + toBaseUnits(found.value, smaller.name), smaller.name, smaller.end);
}

/** The unit at `at` by its name in UNITS, and where it ends; null when none is there. */
function scanUnit(text: string, at: number): { readonly name: string; readonly end: number } | null {
  const written = matchAt(UNIT, text, at);
  const name = written?.[1] ?? "";
  return written ? { name: UNIT_ALIASES.get(name) ?? name, end: at + written[0].length } : null;
}

/** The number at `at`, and where it ends, or null. Throws NotAMeasure when a fraction is not a proper one. */
function scanNumber(text: string, at: number): Found | null {
  const fraction = matchAt(FRACTION, text, at);
  if (fraction) {
    const [all, whole, top, bottom] = [fraction[0], fraction[1], Number(fraction[2]), Number(fraction[3])];
    if (bottom === 0 || (whole && top >= bottom))
      throw new NotAMeasure(`“${all}” is not a proper fraction.`, "Write it as 3/4 or 1 3/4.");
    return { value: Number(whole ?? 0) + top / bottom, end: at + all.length };
  }
  const vulgar = matchAt(VULGAR_NUMBER, text, at);
  if (vulgar) {
    return { value: Number(vulgar[1]) + (VULGAR.get(vulgar[2] ?? "") ?? Number.NaN), end: at + vulgar[0].length };
  }
  const decimal = matchAt(DECIMAL, text, at);
  return decimal && { value: Number(decimal[0]), end: at + decimal[0].length };
}

function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

function pastGap(text: string, at: number): number {
  return at + (matchAt(GAPS, text, at)?.[0].length ?? 0);
}

/** A count of a unit, in base units. */
function toBaseUnits(count: number, unit: string): number {
  const [times, over] = UNITS.get(unit) ?? [Number.NaN, 1];
  return (count * times) / over;
}

function dimOf(unit: string): Dim {
  return UNITS.get(unit)?.[2] ?? NUMBER;
}

/**
 * A value in base units as text for the bench.
 * Lengths to 0.1 mm, or in inches to the nearest 1/64 in lowest terms, with “≈” where that is not the size itself;
 * areas to 0.1 cm² or in²; times to the minute, below ten minutes to the second, from 48 h in days;
 * angles to 0.01°; percentages to 0.1 %; numbers and the rest to 0.001. Halves go up.
 * Throws NotAMeasure when the value is NaN or infinite.
 */
export function show(value: number, dim: Dim, units: Units): string {
  if (!Number.isFinite(value))
    throw new NotAMeasure("The value is not a finite number.", "Check the sizes it comes from.");
  switch (dimName(dim)) {
    case "length":
      return units === "in" ? inches(value) : `${plain(value, 1)} mm`;
    case "area":
      return units === "in" ? `${plain(value / (25.4 * 25.4), 1)} in²` : `${plain(value / 100, 1)} cm²`;
    case "volume":
      return units === "in" ? `${plain(value / (25.4 * 25.4 * 25.4), 1)} in³` : `${plain(value / 1000, 1)} cm³`;
    case "time":
      return daysAndHours(value);
    case "angle":
      return `${plain(value, 2)}°`;
    case "percentage":
      return `${plain(value, 1)} %`;
    case "number":
      return plain(value, 3);
    default:
      return `${plain(value, 3)} ${dimName(dim)}`;
  }
}

/** `length`, `area`, `number` and so on; `length^4` for a dimension without a name. */
export function dimName(dim: Dim): string {
  const powers = powersOf(dim);
  const known = DIM_NAMES.find(([one]) => String(powersOf(one)) === String(powers));
  return known?.[1] ?? powers.flatMap(([base, power]) => (power ? [`${base}^${power}`] : [])).join(" ");
}

function powersOf({ length, angle, time, percent = 0 }: Dim): readonly (readonly [string, number])[] {
  return Object.entries({ length, angle, time, percentage: percent });
}

/** The dimension of that name; NUMBER for a dimension without a name. */
export function dimNamed(name: string): Dim {
  return DIM_NAMES.find(([, known]) => known === name)?.[0] ?? NUMBER;
}

/** Millimetres as inches to the nearest 1/64, in lowest terms: `1 3/4 in`; `≈45/64 in` where it was rounded. */
function inches(valueMm: number): string {
  if (Math.abs(valueMm / 25.4) >= BEYOND_SENSE) return `${plain(valueMm / 25.4, 0)} in`;
  const exact = ((valueMm * 5) / 127) * INCH_STEP;
  const steps = roundHalfUp(exact);
  const whole = floorDiv(Math.abs(steps), INCH_STEP);
  const top = floorMod(Math.abs(steps), INCH_STEP);
  const shared = commonDivisor(top, INCH_STEP);
  const parts = whole || !top ? [String(whole)] : [];
  if (top) parts.push(`${top / shared}/${INCH_STEP / shared}`);
  return `${Math.abs(exact - steps) > ON_A_MARK ? "≈" : ""}${steps < 0 ? "-" : ""}${parts.join(" ")} in`;
}

/** Minutes as `1 h 30 min`: to the minute, below ten minutes to the second, from 48 h with days. */
function daysAndHours(minutes: number): string {
  if (Math.abs(minutes) >= BEYOND_SENSE) return `${plain(minutes, 0)} min`;
  const seconds = Math.abs(minutes) < 10 ? roundHalfUp(minutes * 60) : roundHalfUp(minutes) * 60;
  let left = Math.abs(seconds);
  const parts: string[] = [];
  for (const [size, unit] of [
    [86400, "d"],
    [3600, "h"],
    [60, "min"],
    [1, "s"],
  ] as const) {
    if (unit === "d" && left < 2 * size) continue;
    const count = floorDiv(left, size);
    left = floorMod(left, size);
    if (count) parts.push(`${count} ${unit}`);
  }
  return (seconds < 0 ? "-" : "") + (parts.join(" ") || "0 min");
}

/** A number to so many decimal places, without trailing zeros; halves go up. */
export function plain(value: number, places: number): string {
  if (Math.abs(value) >= BEYOND_SENSE) return value > 0 ? "over 10^12" : "under -10^12";
  const scale = 10 ** places;
  const steps = roundHalfUp(value * scale);
  const rest = floorMod(Math.abs(steps), scale);
  const decimals = rest ? String(rest).padStart(places, "0").replace(/0+$/, "") : "";
  return `${steps < 0 ? "-" : ""}${floorDiv(Math.abs(steps), scale)}${decimals ? `.${decimals}` : ""}`;
}

/** The nearest whole number. A half goes up, also when it is a billionth short of one. */
export function roundHalfUp(value: number): number {
  const below = Math.floor(value);
  return value - below >= 0.5 - TOLERANCE ? below + 1 : below;
}
