/** Boards from which several parts are cut, as the cutting list and a part tell of them. */
import { expect, test } from "vitest";
import { boardsOf, placeOnBoard } from "../../pwa/src/screens/words/boards.ts";
import type { Board, Part, Sheet } from "../../pwa/src/wire.gen.ts";

const NAMES = ["side-1", "side-2", "end"];

function board(piece: string, width = 126): Board {
  return {
    id: `${piece}/side-run`,
    piece,
    name: "side-run",
    title: "Side run",
    match: "sequence",
    of: NAMES.map((name) => `${piece}/${name}`),
    stock: "white oak",
    material: "solid",
    rough_mm: [1129, width, 25.4],
  };
}

function sheet(...boards: readonly Board[]): Sheet {
  const titles = ["Side 1", "Side 2", "End"];
  const parts = ["A", "B"].flatMap((piece) =>
    NAMES.map((name, n) => ({ id: `${piece}/${name}`, piece, title: titles[n] }) as Part),
  );
  return { parts, boards } as unknown as Sheet;
}

test("boards of several pieces that are alike stand together, with their parts in order", () => {
  const [one, ...more] = boardsOf(sheet(board("A"), board("B")), "mm");

  expect(more).toEqual([]);
  expect(one).toMatchObject({ count: 2, rough: "1129 × 126 × 25.4 mm", order: "Side 1, Side 2, End" });
});

test("those that differ stand apart", () => {
  expect(boardsOf(sheet(board("A"), board("B", 156)), "in").map(({ count }) => count)).toEqual([1, 1]);
});

test("a build from before there were boards has none", () => {
  expect(boardsOf({ parts: [] } as unknown as Sheet, "mm")).toEqual([]);
});

test("a part knows which of how many it is", () => {
  const found = sheet(board("A"), board("B"));

  expect(placeOnBoard(found, "B/end")).toBe("3 of 3 from the side run");
  expect(placeOnBoard(found, "A/lid")).toBe("");
});
