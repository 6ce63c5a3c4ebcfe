/** A build's happenings in words, as the screens show them. */
import { type Book, compare } from "../../bench/book.ts";
import { HAPPENINGS } from "../../bench/happening_kinds.ts";
import { sentenceOf } from "../../bench/sentences.ts";
import type { Units } from "../../recipe/measure.ts";
import type { Happening, Sheet } from "../../wire.gen.ts";
import { begun, fullTitle } from "./names.ts";

/** One line for the log and the histories, in the units the person reads. */
export function sentence(
  what: Happening["what"],
  { sheet, units }: { readonly sheet: Sheet; readonly units: Units },
): string {
  return sentenceOf(what, { sheet, units, title: (id) => fullTitle(sheet, id) });
}

/** What counts and belongs into a history, earliest first; and how the server's clock was set meanwhile. */
export function storyOf({ book }: { readonly book: Book }): readonly Happening[] {
  const own = book.effective();
  const settings = book.clockSettings.map(({ recorded }) => recorded).filter((h) => isWithin(h, own));
  return [...own, ...settings].sort(compare).filter(({ what }) => !what || HAPPENINGS[what.kind].in_story);
}

/** Whether it stands between the first and the last of these. */
function isWithin(h: Happening, own: readonly Happening[]): boolean {
  const [first, last] = [own[0], own.at(-1)];
  return first !== undefined && last !== undefined && compare(first, h) < 0 && compare(h, last) < 0;
}

/** A size's name as people read it: a recipe writes it with dashes or underscores. */
export function sizeName(name: string): string {
  return begun(name.replace(/[-_]/g, " "));
}
