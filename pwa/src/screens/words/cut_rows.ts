/** Rows of the cutting list as a maker cuts them: equal ones as one, those of a strip under it. */
import type { Units } from "../../recipe/measure.ts";
import type { CutListRow } from "../../wire.gen.ts";
import { sizesText } from "./cut_sizes.ts";
import { shown } from "./sizes.ts";

const MM_PER_INCH = 25.4;

/** Rows that differ in nothing but their names. first: the one that stands for all. */
export type EqualRows = { readonly first: CutListRow; readonly title: string; readonly rows: readonly CutListRow[] };

/** The rows, those that differ in nothing but their names put together, in the list's order. */
export function equalJoined(rows: readonly CutListRow[]): readonly EqualRows[] {
  const found = new Map<string, CutListRow[]>();
  for (const row of rows) {
    const nameless = JSON.stringify({ ...row, part: "", title: "", of: [] });
    found.set(nameless, [...(found.get(nameless) ?? []), row]);
  }
  return [...found.values()].flatMap((equal) => {
    const [first] = equal;
    return first ? [{ first, title: equal.map(({ title }) => title).join(", "), rows: equal }] : [];
  });
}

/** Equal rows by the strip that they are cut from, in the list's order; those that are cut singly under "". */
export function byStrip(
  rows: readonly CutListRow[],
  units: Units,
): readonly (readonly [string, readonly EqualRows[]])[] {
  const found = new Map<string, EqualRows[]>();
  for (const equal of equalJoined(rows)) {
    const strip = stripText(equal.first, units);
    found.set(strip, [...(found.get(strip) ?? []), equal]);
  }
  return [...found];
}

/** How much a row's strip or board must give: "Together 5840 mm of 21 × 10 mm, with saw cuts"; "" for single parts. */
export function stripText({ strip_mm = 0, rough_mm, finished_mm }: CutListRow, units: Units): string {
  if (!strip_mm) return "";
  const whole = units === "in" ? Math.ceil(strip_mm / MM_PER_INCH) * MM_PER_INCH : strip_mm;
  return `Together ${shown(whole, "length", units)} of ${sizesText([rough_mm[1] ?? 0, finished_mm[2] ?? 0], units)}, with saw cuts`;
}

/** What becomes of a row's parts: "In the end 28 of 8 × 15 × 10 mm"; "" where they stay as they are cut. */
export function trimmedText({ trimmed_mm = [], trimmed_count = 0, of }: CutListRow, units: Units): string {
  if (trimmed_mm.length === 0) return "";
  const count = trimmed_count === of.length ? "" : `${trimmed_count} of `;
  return `In the end ${count}${sizesText(trimmed_mm, units)}`;
}
