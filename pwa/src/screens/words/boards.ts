/** Boards from which several parts are cut, in words. */
import type { Units } from "../../recipe/measure.ts";
import type { Board, CutListRow, Sheet } from "../../wire.gen.ts";
import { sizesText } from "./cut_sizes.ts";

/** Boards of several pieces that are alike, with the titles of their parts in order. */
export type Boards = { readonly first: Board; readonly count: number; readonly rough: string; readonly order: string };

/** The boards of a build, those of several pieces that are alike together. */
export function boardsOf(sheet: Sheet, units: Units): readonly Boards[] {
  const titles = new Map(sheet.parts.map(({ id, title }) => [id, title]));
  const found = new Map<string, Boards>();
  for (const board of sheet.boards ?? []) {
    const rough = sizesText(board.rough_mm, units);
    const key = `${board.name} ${rough}`;
    const order = board.of.map((id) => titles.get(id) ?? id).join(", ");
    const known = found.get(key);
    found.set(key, known ? { ...known, count: known.count + 1 } : { first: board, count: 1, rough, order });
  }
  return [...found.values()];
}

/** Which of how many a part is on its board; "" where it has a board of its own. */
export function placeOnBoard(sheet: Sheet, part: string): string {
  const board = sheet.boards?.find(({ of }) => of.includes(part));
  return board ? `${board.of.indexOf(part) + 1} of ${board.of.length} from the ${board.title.toLowerCase()}` : "";
}

/** Whether a row's parts come from boards, whose rough size is what is cut: the row has none of its own. */
export function isFromBoard({ boards = [] }: Sheet, { of }: CutListRow): boolean {
  const onBoards = new Set(boards.flatMap((board) => board.of));
  return of.every((id) => onBoards.has(id));
}
