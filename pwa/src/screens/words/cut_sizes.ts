/** The sizes of parts in words, for the cutting list and for the operations that cut them. */
import type { BuildView } from "../../bench/loaded_builds.ts";
import { partMm, sizesOf } from "../../bench/sizes.ts";
import type { Units } from "../../recipe/measure.ts";
import type { CutListRow, Operation, Part, ToSize } from "../../wire.gen.ts";
import { shown } from "./sizes.ts";

const MEASURES = ["length", "width", "thickness"] as const;
const ADJECTIVES = { length: "long", width: "wide", thickness: "thick" };

/** Lengths with one unit at the end: "420 × 48 × 48 mm". One that cannot be reckoned is a question mark. */
export function sizesText(mm: readonly (number | null)[], units: Units): string {
  const texts = mm.map((one) => (one === null ? "?" : shown(one, "length", units).replace(` ${units}`, "")));
  return `${texts.join(" × ")} ${units}`;
}

/** The thickness to buy: "8/4 (50.8 mm)", "18 mm", "veneer, 0.6 mm". */
export function boughtText({ bought, bought_mm, material, stock }: CutListRow, units: Units): string {
  const mm = shown(bought_mm, "length", units);
  if (bought) return `${bought} (${mm})`;
  if (material === "veneer" && !stock.toLowerCase().includes("veneer")) return `veneer, ${mm}`;
  return material === "solid" ? "thicker than usually sold: glue it up" : mm;
}

/** What is cut first, where that is over size; "" where it is not. */
export function roughText({ rough_mm, finished_mm }: CutListRow, units: Units): string {
  return rough_mm.some((mm, n) => mm !== finished_mm[n]) ? `Rough ${sizesText(rough_mm, units)}` : "";
}

/** By text of their sizes as they are now, the pieces of the row's parts that have them. */
export function finishedByText(view: BuildView, row: CutListRow, units: Units): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  for (const part of firstOfEachPiece(view, row.of)) {
    const text = sizesText(partNow(view, part), units);
    found.set(text, [...(found.get(text) ?? []), part.piece]);
  }
  return found;
}

/** The cutting list's rows of what an operation makes: several where it works on pieces that differ. */
export function rowsAt(view: BuildView, operation: Operation, made: ToSize): readonly CutListRow[] {
  const rows = (view.sheet.cutting_list ?? []).filter(({ part }) => part === made.part);
  return rows.filter(({ of }) => of.some((id) => operation.parts.includes(id)));
}

/** What an operation makes of one part: "70 mm wide, 25 mm thick"; of pieces that differ, each with its letter. */
export function madeText(
  view: BuildView,
  operation: Operation,
  made: ToSize,
  rows: readonly CutListRow[],
  units: Units,
): string {
  const texts = new Map<string, string[]>();
  for (const { of, rough_mm } of rows) {
    const worked = of.filter((id) => operation.parts.includes(id));
    for (const part of firstOfEachPiece(view, worked)) {
      const mm = made.stage === "rough" ? rough_mm : partNow(view, part);
      const text = made.measures
        .map((measure) => `${shown(mm[MEASURES.indexOf(measure)], "length", units)} ${ADJECTIVES[measure]}`)
        .join(", ");
      texts.set(text, [...(texts.get(text) ?? []), part.piece]);
    }
  }
  return [...texts].map(([text, pieces]) => (texts.size > 1 ? `${pieces.join(", ")}: ${text}` : text)).join("; ");
}

/** The names of sizes that an operation makes and need not show once more. */
export function namesMade(view: BuildView, operation: Operation): ReadonlySet<string> {
  const formulas = (operation.to_size ?? []).flatMap((made) => {
    const firsts = new Set(rowsAt(view, operation, made).map(({ of }) => of[0]));
    const parts = made.stage === "rough" ? [] : view.sheet.parts.filter(({ id }) => firsts.has(id));
    return parts.flatMap(({ size }) => made.measures.map((measure) => size[MEASURES.indexOf(measure)] ?? []));
  });
  return new Set(
    formulas.flatMap(([only, ...more]) => (typeof only === "string" && !more.length ? [only.slice(1)] : [])),
  );
}

function firstOfEachPiece(view: BuildView, ids: readonly string[]): readonly Part[] {
  const wanted = new Set(ids);
  const firsts = new Map<string, Part>();
  for (const part of view.sheet.parts) if (wanted.has(part.id) && !firsts.has(part.piece)) firsts.set(part.piece, part);
  return [...firsts.values()];
}

function partNow(view: BuildView, part: Part): readonly (number | null)[] {
  return partMm(part, sizesOf(view.sheet, view.bench.as_built, part.piece));
}
