/**
 * Formulas over named sizes: compiled postfix lists, evaluated.
 *
 * Postfix items: numbers in base units, "@name" for a size, and the names in ARITHMETIC.
 * `2 * (leg + 5 mm)` arrives as 2, "@leg", 5, "+", "*". The browser never runs a formula as code.
 * Twin: backend/benchbell/recipe/formula.py. Only that side compiles.
 */
import { ARITHMETIC, CannotEvaluate, finite } from "./arithmetic.ts";

export type Postfix = readonly (number | string)[];

/**
 * The value of a postfix list in base units. sizes: values of the named sizes in base units.
 *
 * Throws CannotEvaluate when a size has no value, an operation has none (such as a division by zero), or a
 * number is not finite.
 */
export function evaluate(postfix: Postfix, sizes: Readonly<Record<string, number>>): number {
  const stack: number[] = [];
  for (const item of postfix) stack.push(finite(itemValue(item, stack, sizes)));
  const [value] = stack;
  if (value === undefined || stack.length > 1)
    throw new CannotEvaluate("The formula does not give one number.", "Compile the recipe again.");
  return value + 0;
}

/** The names of the sizes that a postfix list uses. */
export function namesIn(postfix: Postfix): ReadonlySet<string> {
  return new Set(postfix.flatMap((item) => (typeof item === "string" && item.startsWith("@") ? [item.slice(1)] : [])));
}

/** The value of one postfix item. Throws CannotEvaluate when it has none. */
function itemValue(item: number | string, stack: number[], sizes: Readonly<Record<string, number>>): number {
  if (typeof item === "number") return item;
  return item.startsWith("@") ? sizeOf(item.slice(1), sizes) : apply(item, stack);
}

/** The value of a size. Throws CannotEvaluate when it has none. */
function sizeOf(name: string, sizes: Readonly<Record<string, number>>): number {
  const value = Object.hasOwn(sizes, name) ? sizes[name] : undefined;
  if (value === undefined)
    throw new CannotEvaluate(`Size ${name} has no value yet.`, "Measure it, or give it a planned value.");
  return value;
}

/**
 * The result of an operation on the top of the stack; its operands are removed.
 * Throws CannotEvaluate when the operation is unknown, lacks an operand or has no value.
 */
function apply(name: string, stack: number[]): number {
  const known = ARITHMETIC.get(name);
  if (!known) throw new CannotEvaluate(`The operation ${name} is not known.`, "Load the newest page.");
  const [operands, operation] = known;
  const [a, b] = stack.splice(-operands);
  if (a === undefined || (operands === 2 && b === undefined))
    throw new CannotEvaluate(`The operation ${name} lacks a number.`, "Compile the recipe again.");
  return operation(a, b as number);
}
