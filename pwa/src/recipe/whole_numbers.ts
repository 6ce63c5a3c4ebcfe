/** Whole numbers divided as Python divides them. */

/** The remainder of `a / b` with the sign of `b`, as `%` in Python. */
export function floorMod(a: number, b: number): number {
  const left = a % b;
  return left !== 0 && left < 0 !== b < 0 ? left + b : left + 0;
}

/** `a / b` rounded down, as `//` in Python; exact for whole numbers to 2^53. */
export function floorDiv(a: number, b: number): number {
  const left = a % b;
  const towardZero = (a - left) / b;
  return left !== 0 && left < 0 !== b < 0 ? towardZero - 1 : towardZero + 0;
}

/** The greatest whole number that divides both; of a and 0 it is a. */
export function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b);
}
