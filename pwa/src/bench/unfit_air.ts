/**
 * Whether the air is too cold or too damp for a glue or a finish: the phone asks before it goes on.
 *
 * The server asks the same for the sheet and the plan, in recipe/unfit_air.py.
 */
import { FINISH_AIR } from "../tables.gen.ts";
import type { FigureGrid, Operation, Reading, Sheet } from "../wire.gen.ts";
import { isOld } from "./air.ts";

/** A reading of the air in °C or percent that an operation's glue or finish does not stand, and the limit it has. */
export type UnfitAir =
  | { readonly is: "cold"; readonly stuff: "glue" | "finish"; readonly celsius: number; readonly least: number }
  | { readonly is: "damp"; readonly stuff: "finish"; readonly humidity: number; readonly most: number };

/**
 * How the air is unfit for the glue or finish of an operation, by the last reading; null where it is not.
 *
 * An old reading says nothing, and so does none: the page asks for a new one.
 */
export function unfitFor(
  figures: Sheet["figures"],
  operation: Operation,
  readings: readonly Reading[],
  now: number,
): UnfitAir | null {
  const last = readings.at(-1);
  return last && !isOld(last, now) ? unfitIn(figures, operation, last) : null;
}

/** How some air is unfit for the glue or finish of an operation; null where it is not. */
export function unfitIn(
  figures: Sheet["figures"],
  { glue = "", finish = "" }: Operation,
  { celsius, humidity = null }: Pick<Reading, "celsius" | "humidity">,
): UnfitAir | null {
  const [grid, limits] = [figures[glue], FINISH_AIR[finish]];
  const least = limits ? limits.least_celsius : grid ? leastCelsius(grid) : null;
  if (least !== null && celsius < least) return { is: "cold", stuff: limits ? "finish" : "glue", celsius, least };
  const most = limits?.most_humidity_percent ?? null;
  return most !== null && humidity !== null && humidity > most ? { is: "damp", stuff: "finish", humidity, most } : null;
}

/** The first whole degree for which a glue has figures, in °C; null where it has none. */
function leastCelsius({ clamp_ms, celsius_from }: FigureGrid): number | null {
  const row = clamp_ms.findIndex(([figure = null]) => figure !== null);
  return row < 0 ? null : celsius_from + row;
}
