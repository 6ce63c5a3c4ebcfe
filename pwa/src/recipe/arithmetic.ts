/**
 * The operations of formulas on numbers in base units: mm, degrees, minutes.
 *
 * Twin: backend/benchbell/recipe/arithmetic.py, equal to the last bit except for sines, cosines and their inverses.
 */
import { Refused } from "../findings.ts";
import { plain, roundHalfUp, TOLERANCE } from "./measure.ts";
import { floorMod } from "./whole_numbers.ts";

/** A formula has no value with the sizes it was given. */
export class CannotEvaluate extends Refused {}

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

/** The value itself. Throws CannotEvaluate when it is NaN or infinite. */
export function finite(value: number): number {
  if (!Number.isFinite(value))
    throw new CannotEvaluate("The result is not a finite number.", "Check the sizes for a wrong digit or unit.");
  return value;
}

/** a divided by b. Throws CannotEvaluate when b is 0. */
function quotient(a: number, b: number): number {
  if (b === 0) throw new CannotEvaluate(`${plain(a, 3)} is divided by 0.`, "Check the sizes after the “/”.");
  return a / b;
}

/**
 * A whole power, by multiplication: the power functions of the two languages differ in the last bit.
 * Throws CannotEvaluate when the exponent is not whole or beyond -6 to 6, or when 0 has a negative exponent.
 */
function power(base: number, exponent: number): number {
  if (exponent !== Math.floor(exponent) || Math.abs(exponent) > MOST_POWER)
    throw new CannotEvaluate(`The power ${plain(exponent, 3)} is not a small whole number.`, "Use -6 to 6.");
  let product = 1;
  for (let i = 0; i < Math.abs(exponent); i++) product *= base;
  return exponent < 0 ? quotient(1, product) : product;
}

/** The square root. Throws CannotEvaluate when the value is negative. */
function root(value: number): number {
  if (value < 0)
    throw new CannotEvaluate(`The square root of ${plain(value, 3)} has no value.`, "Check the sizes in sqrt.");
  return Math.sqrt(value);
}

/** The sine of an angle in degrees, exact at quarter turns. */
function sine(degrees: number): number {
  const turned = floorMod(degrees, 360);
  return SINE_OF_QUARTERS.get(turned) ?? Math.sin(turned * (Math.PI / 180));
}

/** The cosine of an angle in degrees, exact at quarter turns. */
function cosine(degrees: number): number {
  const turned = floorMod(degrees, 360);
  return COSINE_OF_QUARTERS.get(turned) ?? Math.cos(turned * (Math.PI / 180));
}

/**
 * asin or acos in degrees, of a ratio from -1 to 1; rounding may bring it a billionth beyond.
 * The function it gives throws CannotEvaluate when the ratio is farther beyond.
 */
function arc(name: string, back: (ratio: number) => number): (ratio: number) => number {
  return (ratio) => {
    if (Math.abs(ratio) > 1 + TOLERANCE)
      throw new CannotEvaluate(`${name} of ${plain(ratio, 3)} has no value.`, "Check the sizes: it takes -1 to 1.");
    return back(Math.max(-1, Math.min(1, ratio))) * (180 / Math.PI);
  };
}

/**
 * A function that rounds to whole steps. `rounded` allows a billionth of a step: decimals are inexact in binary.
 * The function it gives throws CannotEvaluate when the step is not above 0 or the result is not finite.
 */
function toStep(rounded: (count: number) => number): (value: number, step: number) => number {
  return (value, step) => {
    if (step <= 0) throw new CannotEvaluate(`The step ${plain(step, 3)} is not above 0.`, "Give a step such as 1 mm.");
    return rounded(finite(value / step)) * step;
  };
}

type Unary = readonly [1, (a: number) => number];
type Binary = readonly [2, (a: number, b: number) => number];

/** By the name of an operation, its number of operands and its function. */
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
  ["floor", [2, toStep((a: number) => Math.floor(a + TOLERANCE))]],
  ["ceil", [2, toStep((a: number) => Math.ceil(a - TOLERANCE))]],
]);
