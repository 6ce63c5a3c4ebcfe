/**
 * Sizes as measured, and operations that wait until what they measure is within the recipe's bounds.
 *
 * Twin of bench/measured.py, where the reasons stand.
 */
import { boundsText, hasBounds, isWithin } from "../recipe/bounds.ts";
import { dimNamed, show, type Units } from "../recipe/measure.ts";
import type { AsBuilt, Bench, Operation, Sheet, Size } from "../wire.gen.ts";
import { type Book, compareStamps, type Of } from "./book.ts";

/** Sizes as measured, by "piece|size". The later of two measurements stands; the others are named. */
export function asBuilt(book: Book, sheet: Sheet): Readonly<Record<string, AsBuilt>> {
  const slots = sheet.sizes.flatMap((size) => ["", ...sheet.pieces].map((piece) => [piece, size] as const));
  return Object.fromEntries(
    slots.flatMap(([piece, size]) => {
      const found = measured(book, piece, size);
      return found ? [[`${piece}|${size.name}`, found]] : [];
    }),
  );
}

/** One size as measured, or null. */
function measured(book: Book, piece: string, size: Size): AsBuilt | null {
  const taken = book.all("measured", piece, size.name);
  const last = taken.at(-1);
  if (!last) return null;
  const { value } = last.what;
  const before = hasBounds(size) ? [] : taken.slice(0, -1);
  const others = before.map((h) => h.what.value).filter((other) => other !== value);
  return { value, ms: book.moment(last).ms, device: last.at.device, others };
}

/** The sizes with bounds, by name. */
export function boundedSizes(sheet: Sheet): ReadonlyMap<string, Size> {
  return new Map(sheet.sizes.filter(hasBounds).map((size) => [size.name, size]));
}

/** The sizes measured here that keep a finished operation from counting as done, by name. */
export function keptOpen(
  book: Book,
  op: Operation,
  finished: Of<"finished"> | undefined,
  bounded: ReadonlyMap<string, Size>,
): readonly string[] {
  return (op.measure ?? []).filter((name) => {
    const size = bounded.get(name);
    return finished !== undefined && size !== undefined && isOpen(book, op, finished, size);
  });
}

/** Whether a size is not measured or out of its bounds, and nobody has said since why that does not matter. */
function isOpen(book: Book, op: Operation, finished: Of<"finished">, size: Size): boolean {
  const last = book.latest("measured", size.once ? "" : op.piece, size.name);
  if (last && isWithin(size, last.what.value)) return false;
  return !finished.what.reason || (last !== undefined && compareStamps(finished.at, last.at) < 0);
}

/** A sentence for each size that an operation has measured, and not within its bounds. */
export function againSentences(sheet: Sheet, bench: Bench, op: Operation): readonly string[] {
  const names = bench.operations[op.id]?.to_measure ?? [];
  return sheet.sizes
    .filter(({ name }) => names.includes(name))
    .map((size) => measureAgain(size, bench.as_built[`${size.once ? "" : op.piece}|${size.name}`]?.value, sheet.units));
}

/** Why the next operations wait, and what to do. value: as measured last; none when it is not measured. */
export function measureAgain(size: Size, value: number | undefined, units: Units): string {
  const words = size.name.replaceAll("_", " ");
  const name = words.charAt(0).toUpperCase() + words.slice(1);
  if (value === undefined) return `${name} is not measured, ${boundsText(size, units)}: measure it.`;
  return `${name} ${show(value, dimNamed(size.dim), units)}, ${boundsText(size, units)}: measure again.`;
}
