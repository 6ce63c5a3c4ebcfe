/**
 * A sheet's named sizes for one piece: as built where somebody measured, else reckoned from what is there.
 *
 * Twin of bench/sizes.py, where the reasons stand.
 */
import { CannotEvaluate } from "../recipe/arithmetic.ts";
import { NOTICED } from "../recipe/bounds.ts";
import { evaluate, namesIn, type Postfix } from "../recipe/formula.ts";
import type { AsBuilt, Part, Setup, Sheet, Size } from "../wire.gen.ts";

/**
 * What a size is worth now, in base units, beside the drawing's `plan`.
 *
 * value: null where it cannot be reckoned; then `trouble` is the sentence that says why.
 * measured: as built, not reckoned. changed: not the drawing's. off: measured outside what the recipe allows.
 */
export type SizeNow = {
  readonly value: number | null;
  readonly plan: number;
  readonly measured: boolean;
  readonly changed: boolean;
  readonly off: boolean;
  readonly trouble: string;
};

export type Sizes = ReadonlyMap<string, SizeNow>;

type Values = Readonly<Record<string, number>>;
type Built = Readonly<Record<string, AsBuilt>>;

/** Every named size of the piece; "" for what is done once for the whole build. built: by "piece|size". */
export function sizesOf(sheet: Sheet, built: Built, piece: string): Sizes {
  const byName = new Map(sheet.sizes.map((size) => [size.name, size]));
  const known = new Map<string, SizeNow>();
  const values: Record<string, number> = {};
  for (const size of sheet.sizes)
    for (const needed of withNeeded(size, byName)) {
      if (known.has(needed.name)) continue;
      const now = sizeNow(needed, builtOf(needed, built, piece), values);
      known.set(needed.name, now);
      if (now.value !== null) values[needed.name] = now.value;
    }
  return new Map(sheet.sizes.map(({ name }) => [name, known.get(name) as SizeNow]));
}

/** The size and all it is reckoned from, at any depth, those first. A circle is cut where it closes. */
function withNeeded(size: Size, byName: ReadonlyMap<string, Size>): Iterable<Size> {
  const found = new Map<string, Size>();
  const entered = new Set<string>();
  const toDo: (readonly [Size, boolean])[] = [[size, false]];
  for (let next = toDo.pop(); next; next = toDo.pop()) {
    const [one, isLeft] = next;
    if (isLeft && !found.has(one.name)) found.set(one.name, one);
    if (isLeft || entered.has(one.name)) continue;
    entered.add(one.name);
    toDo.push([one, true]);
    for (const name of [...namesIn(one.formula)].sort()) {
      const needed = byName.get(name);
      if (needed) toDo.push([needed, false]);
    }
  }
  return found.values();
}

/** The size as measured on the piece, else for the whole build. */
function builtOf(size: Size, built: Built, piece: string): AsBuilt | undefined {
  const own = size.once ? undefined : built[`${piece}|${size.name}`];
  return own ?? built[`|${size.name}`];
}

/** One size, when all it is reckoned from is known. values: of those that have one. */
function sizeNow({ plan, within, formula }: Size, built: AsBuilt | undefined, values: Values): SizeNow {
  const now = { plan, measured: false, changed: false, off: false, trouble: "" };
  if (built) {
    const apart = Math.abs(built.value - plan);
    const off = typeof within === "number" && apart > within + NOTICED;
    return { ...now, value: built.value, measured: true, changed: apart > NOTICED, off };
  }
  try {
    const value = evaluate(formula, values);
    return { ...now, value, changed: Math.abs(value - plan) > NOTICED };
  } catch (error) {
    if (!(error instanceof CannotEvaluate)) throw error;
    return { ...now, value: null, trouble: error.message };
  }
}

const valuesKnown = new WeakMap<Sizes, Values>();

/** The sizes that have a value; gathered once, since every part asks for them. */
function valuesOf(sizes: Sizes): Values {
  const known = valuesKnown.get(sizes);
  if (known) return known;
  const has = [...sizes].flatMap(([name, { value }]) => (value === null ? [] : [[name, value] as const]));
  const values = Object.fromEntries(has);
  valuesKnown.set(sizes, values);
  return values;
}

/** What a formula over these sizes comes to; null where it cannot be reckoned. */
export function worth(formula: Postfix, sizes: Sizes): number | null {
  try {
    return evaluate(formula, valuesOf(sizes));
  } catch (error) {
    if (error instanceof CannotEvaluate) return null;
    throw error;
  }
}

/** A part's length along the grain, width and thickness, with the sizes of its piece. */
export function partMm(part: Part, sizes: Sizes): readonly (number | null)[] {
  return part.size.map((formula) => worth(formula, sizes));
}

/** What a station is to be set to, by name, with the sizes of the piece at hand. */
export function setValues(setup: Setup, sizes: Sizes): Readonly<Record<string, number | null>> {
  return Object.fromEntries(setup.set.map(({ name, formula }) => [name, worth(formula, sizes)]));
}
