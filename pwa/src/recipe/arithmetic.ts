/**
 * What each operation in a formula does to numbers in base units (mm, degrees, minutes).
 *
 * Twin: backend/benchbell/recipe/arithmetic.py, the same to the last bit but for sines, cosines and arcs.
 */
import { Refused } from "../findings.ts";
import { floorMod, NEARLY, plain, roundHalfUp } from "./measure.ts";

/** A formula that has no value with these sizes. */
export class CannotReckon extends Refused {}

const MOST_POWER = 6;
const SINE_OF_QUARTERS: ReadonlyMap<number, number> = new Map([
  [0, 0],
  [90, 1],
  [180, 0],
  [270, -1],
]);
const COSINE_OF_QUARTERS: ReadonlyMap<number, number> = new Map([
  [0, 1],
  [90, 0],
  [180, -1],
  [270, 0],
]);

/** The value itself. Throws CannotReckon for NaN and infinity. */
export function finite(value: number): number {
  if (!Number.isFinite(value))
    throw new CannotReckon("The figures run out of bounds.", "Check the sizes for a wrong digit or unit.");
  return value;
}

function quotient(a: number, b: number): number {
  if (b === 0) throw new CannotReckon(`${plain(a, 3)} is divided by 0.`, "Check the sizes below the line.");
  return a / b;
}

/** Whole powers by multiplying, so that both languages agree to the last bit. */
function power(base: number, exponent: number): number {
  if (exponent !== Math.floor(exponent) || Math.abs(exponent) > MOST_POWER)
    throw new CannotReckon(`The power ${plain(exponent, 3)} is not a small whole number.`, "Use -6 to 6.");
  let product = 1;
  for (let i = 0; i < Math.abs(exponent); i++) product *= base;
  return exponent < 0 ? quotient(1, product) : product;
}

function root(value: number): number {
  if (value < 0)
    throw new CannotReckon(`The square root of ${plain(value, 3)} has no value.`, "Check the sizes under the root.");
  return Math.sqrt(value);
}

/** The sine of degrees, exact at quarter turns. */
function sine(degrees: number): number {
  const turned = floorMod(degrees, 360);
  return SINE_OF_QUARTERS.get(turned) ?? Math.sin(turned * (Math.PI / 180));
}

/** The cosine of degrees, exact at quarter turns. */
function cosine(degrees: number): number {
  const turned = floorMod(degrees, 360);
  return COSINE_OF_QUARTERS.get(turned) ?? Math.cos(turned * (Math.PI / 180));
}

/** An arc sine or arc cosine in degrees; forgives a billionth beyond one, as rounding brings. */
function arc(name: string, back: (ratio: number) => number): (ratio: number) => number {
  return (ratio) => {
    if (Math.abs(ratio) > 1 + NEARLY)
      throw new CannotReckon(`${name} of ${plain(ratio, 3)} has no value.`, "It takes -1 to 1: check the sizes.");
    return back(Math.max(-1, Math.min(1, ratio))) * (180 / Math.PI);
  };
}

/** Rounding to whole steps; a billionth of a step is forgiven, as decimals in binary need. */
function toStep(rounded: (count: number) => number): (value: number, step: number) => number {
  return (value, step) => {
    if (step <= 0) throw new CannotReckon(`The step ${plain(step, 3)} is not above 0.`, "Give a step such as 1 mm.");
    return rounded(finite(value / step)) * step;
  };
}

type Unary = readonly [1, (a: number) => number];
type Binary = readonly [2, (a: number, b: number) => number];

export const ARITHMETIC: ReadonlyMap<string, Unary | Binary> = new Map<string, Unary | Binary>([
  ["+", [2, (a, b) => a + b]],
  ["-", [2, (a, b) => a - b]],
  ["*", [2, (a, b) => a * b]],
  ["/", [2, quotient]],
  ["^", [2, power]],
  ["neg", [1, (a: number) => -a]],
  ["abs", [1, Math.abs]],
  ["min", [2, Math.min]],
  ["max", [2, Math.max]],
  ["sqrt", [1, root]],
  ["sin", [1, sine]],
  ["cos", [1, cosine]],
  ["tan", [1, (a: number) => quotient(sine(a), cosine(a))]],
  ["asin", [1, arc("asin", Math.asin)]],
  ["acos", [1, arc("acos", Math.acos)]],
  ["atan", [1, (a: number) => Math.atan(a) * (180 / Math.PI)]],
  ["atan2", [2, (a, b) => Math.atan2(a, b) * (180 / Math.PI)]],
  ["round", [2, toStep(roundHalfUp)]],
  ["floor", [2, toStep((a: number) => Math.floor(a + NEARLY))]],
  ["ceil", [2, toStep((a: number) => Math.ceil(a - NEARLY))]],
]);
