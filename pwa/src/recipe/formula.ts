/**
 * Arithmetic over named sizes: what a compiled formula is worth.
 *
 * Postfix items: numbers in base units, "@name" for a size, and the names in ARITHMETIC.
 * `2 * (leg + 5 mm)` arrives as 2, "@leg", 5, "+", "*". Nothing is ever handed to the browser to run.
 * Twin: backend/benchbell/recipe/formula.py, which alone compiles.
 */
import { ARITHMETIC, CannotReckon, finite } from "./arithmetic.ts";

export type Postfix = readonly (number | string)[];

/**
 * What a postfix list is worth, in base units, when the named sizes have these values.
 *
 * Throws CannotReckon for a size without a value, a division by zero, a root of a negative and the like,
 * and for whatever is no finite number.
 */
export function evaluate(postfix: Postfix, sizes: Readonly<Record<string, number>>): number {
  const stack: number[] = [];
  for (const item of postfix) stack.push(finite(worth(item, stack, sizes)));
  const [value] = stack;
  if (value === undefined || stack.length > 1)
    throw new CannotReckon("The formula does not come to one number.", "Compile the recipe again.");
  return value + 0;
}

/** The names of the sizes that a postfix list uses. */
export function namesIn(postfix: Postfix): ReadonlySet<string> {
  return new Set(postfix.flatMap((item) => (typeof item === "string" && item.startsWith("@") ? [item.slice(1)] : [])));
}

function worth(item: number | string, stack: number[], sizes: Readonly<Record<string, number>>): number {
  if (typeof item === "number") return item;
  return item.startsWith("@") ? sizeOf(item.slice(1), sizes) : apply(item, stack);
}

function sizeOf(name: string, sizes: Readonly<Record<string, number>>): number {
  const value = Object.hasOwn(sizes, name) ? sizes[name] : undefined;
  if (value === undefined)
    throw new CannotReckon(`Size ${name} has no value yet.`, "Measure it, or give it a planned value.");
  return value;
}

/** The result of an operation on the top of the stack, which it takes away. */
function apply(name: string, stack: number[]): number {
  const known = ARITHMETIC.get(name);
  if (!known) throw new CannotReckon(`The operation ${name} is not known here.`, "Load the newest page.");
  const [operands, operation] = known;
  const [a, b] = stack.splice(-operands);
  if (a === undefined || (operands === 2 && b === undefined))
    throw new CannotReckon(`The operation ${name} lacks a number.`, "Compile the recipe again.");
  return operation(a, b as number);
}
