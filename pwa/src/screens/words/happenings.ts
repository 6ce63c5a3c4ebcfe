/** A build's happenings in words, as the screens show them. */
import type { Book } from "../../bench/book.ts";
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

/** What counts and belongs into a history, earliest first. */
export function storyOf({ book }: { readonly book: Book }): readonly Happening[] {
  return book.effective().filter(({ what }) => !what || HAPPENINGS[what.kind].in_story);
}

/** A size's name as people read it: a recipe writes it with dashes or underscores. */
export function sizeName(name: string): string {
  return begun(name.replace(/[-_]/g, " "));
}
