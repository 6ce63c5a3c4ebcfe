/** What is spoiled and has to be made again before anything that needs it can go on. */
import type { Bench, Sheet } from "../wire.gen.ts";
import type { OpenBuild } from "./standing.ts";

/** A part, or a whole assembly, to be made again. waiting: how many operations need it. */
export type ToMakeAgain = { readonly build: string; readonly part: string; readonly waiting: number };

/** All that is spoiled: an assembly in place of its parts where all of them are lost with it. */
export function toMakeAgain(open: readonly OpenBuild[]): readonly ToMakeAgain[] {
  return open.flatMap(({ id: build, sheet, bench }) => {
    const ids = [...sheet.assemblies]
      .reverse()
      .concat(sheet.parts as never)
      .map(({ id }) => id);
    return ids
      .filter(
        (id) => isLostWhole(sheet, bench, id) && !holdersOf(sheet, id).some((one) => isLostWhole(sheet, bench, one)),
      )
      .map((part) => ({ build, part, waiting: waitingFor(sheet, bench, part) }));
  });
}

/** Whether all of it is lost, and not only something in it. */
function isLostWhole(sheet: Sheet, bench: Bench, id: string): boolean {
  const joined = sheet.assemblies.find((assembly) => assembly.id === id)?.of ?? [];
  return (bench.parts[id]?.spoiled ?? false) && joined.every((one) => isLostWhole(sheet, bench, one));
}

/** The assemblies that it goes into by itself. */
function holdersOf(sheet: Sheet, id: string): readonly string[] {
  return sheet.assemblies.filter(({ of }) => of.includes(id)).map((assembly) => assembly.id);
}

function waitingFor(sheet: Sheet, bench: Bench, part: string): number {
  const within = new Set([part, ...above(sheet, part)]);
  return sheet.operations.filter(
    ({ id, parts }) => bench.operations[id]?.status === "spoiled" && parts.some((one) => within.has(one)),
  ).length;
}

/** The assemblies it goes into, at any depth. */
function above(sheet: Sheet, id: string): readonly string[] {
  return holdersOf(sheet, id).flatMap((holder) => [holder, ...above(sheet, holder)]);
}
