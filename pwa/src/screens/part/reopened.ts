/** What a spoiled part undoes. */
import type { BuildView } from "../../bench/loaded_builds.ts";
import type { Sheet } from "../../wire.gen.ts";

/** Operations already begun or done on a part, or on whatever it is in: they count as not done once it is spoiled. */
export function reopened(view: BuildView, id: string): string[] {
  const touched = new Set([...within(view.sheet, id), ...above(view.sheet, id)]);
  return view.sheet.operations
    .filter(({ parts }) => parts.some((part) => touched.has(part)))
    .filter((operation) => Object.keys(view.bench.operations[operation.id]?.marks ?? {}).length > 0)
    .map((operation) => operation.id);
}

/** It, and all that is joined in it. */
function within(sheet: Sheet, id: string): string[] {
  const joined = sheet.assemblies.find((assembly) => assembly.id === id)?.of ?? [];
  return [id, ...joined.flatMap((one) => within(sheet, one))];
}

/** The assemblies it goes into, at any depth. */
function above(sheet: Sheet, id: string): string[] {
  const holders = sheet.assemblies.filter(({ of }) => of.includes(id)).map((assembly) => assembly.id);
  return holders.flatMap((holder) => [holder, ...above(sheet, holder)]);
}
