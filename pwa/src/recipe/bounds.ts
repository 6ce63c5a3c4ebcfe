/**
 * Bounds of a size that is measured: what comes after the measuring waits until the last value is within them.
 *
 * Twin of recipe/bounds.py.
 */
import type { Size } from "../wire.gen.ts";
import { dimNamed, show, type Units } from "./measure.ts";

/** A difference below this, in base units, is none. */
export const NOTICED = 0.001;

type Bounded = Pick<Size, "dim" | "least" | "most">;

/** Whether it has any. */
export function hasBounds({ least, most }: Bounded): boolean {
  return (least ?? most ?? null) !== null;
}

/** Whether a value is within the bounds. */
export function isWithin({ least, most }: Bounded, value: number): boolean {
  return value >= (least ?? value) - NOTICED && value <= (most ?? value) + NOTICED;
}

/** The bounds in words: "at most 9 %"; "" without any. */
export function boundsText({ dim, least, most }: Bounded, units: Units): string {
  const bound = (word: string, value: number | null | undefined) =>
    value == null ? [] : [`at ${word} ${show(value, dimNamed(dim), units)}`];
  return [...bound("least", least), ...bound("most", most)].join(", ");
}
