/** Whether the air is too cold for a glue. The phone alone asks this, before the glue is spread. */
import type { FigureGrid, Operation, Reading, Sheet } from "../wire.gen.ts";
import { isOld } from "./air.ts";

/** A reading of the air that is too cold for an operation's glue, and the least that the glue needs, in °C. */
export type Cold = { readonly celsius: number; readonly least: number };

/**
 * How the air is too cold for the glue of an operation, by the last reading; null where it is not.
 *
 * An old reading says nothing, and so does none: the page asks for a new one.
 */
export function coldFor(
  figures: Sheet["figures"],
  { glue = "" }: Operation,
  readings: readonly Reading[],
  now: number,
): Cold | null {
  const [grid, last] = [figures[glue], readings.at(-1)];
  const least = grid ? leastCelsius(grid) : null;
  if (!last || isOld(last, now) || least === null || last.celsius >= least) return null;
  return { celsius: last.celsius, least };
}

/** The first whole degree for which a glue has figures, in °C; null where it has none. */
function leastCelsius({ clamp_ms, celsius_from }: FigureGrid): number | null {
  const row = clamp_ms.findIndex(([figure = null]) => figure !== null);
  return row < 0 ? null : celsius_from + row;
}
