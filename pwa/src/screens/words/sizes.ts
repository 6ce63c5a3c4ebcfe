/** How figures read on the screen. */
import { dimNamed, plain, show, type Units } from "../../recipe/measure.ts";

/** A figure of a named kind, in the units the person reads; “not known” where there is none. */
export function shown(value: number | null | undefined, dim: string, units: Units): string {
  if (value === null || value === undefined) return "not known";
  const known = dimNamed(dim);
  return known.length || known.angle || known.time || known.percent ? show(value, known, units) : plain(value, 3);
}
