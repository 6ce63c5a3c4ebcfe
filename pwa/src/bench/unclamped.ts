/** Glue-ups that take no clamps: wedges, keys, a rub joint. Twin of bench/unclamped.py. */
import type { Operation } from "../wire.gen.ts";

/** Whether nothing is taken off a glue-up when its glue has set: no clamps, and no fixture that goes with them. */
export function isUnclamped({ step, clamps = {}, fixtures = {}, held_until }: Operation): boolean {
  return step === "glue-up" && !Object.keys(clamps).length && (!Object.keys(fixtures).length || Boolean(held_until));
}
