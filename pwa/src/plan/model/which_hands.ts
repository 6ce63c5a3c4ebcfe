/**
 * Which pair of hands does what in a plan.
 *
 * A plan for hands that differ says whose; any other says only when, and any pair that is free may take something up.
 */
import type { Placed } from "../../wire.gen.ts";

/** Work of no length beside busy hands: nobody's hands are needed for it. */
export const NOBODY = -1;

/** By place in the plan, the number of the pair of hands, from 0 on; of the free ones that idle longest. */
export function whichHands(placed: readonly Placed[], hands: number): number[] {
  const first = placed.length ? Math.min(...placed.map((one) => one.setup)) : 0;
  const free = new Array<number>(hands).fill(first);
  return placed.map((one) => {
    if (hands > 1 && one.end === one.setup) return NOBODY;
    const pair = one.hand ?? free.indexOf(Math.min(...free));
    free[pair] = one.end;
    return pair;
  });
}
