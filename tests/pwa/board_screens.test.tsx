// @vitest-environment happy-dom
import { afterEach, expect, test } from "vitest";
import { cuttingListPath } from "../../pwa/src/screens/paths.ts";
import type { Board, Started } from "../../pwa/src/wire.gen.ts";
import dryText from "../vectors/dry/started.json?raw";
import { closePage, openPage, show, wordsAt } from "./page.ts";

/** Two shelves whose boards come from one, planed with an iron that is sharpened after it. */
const dry: Started = JSON.parse(dryText);
const board: Board = {
  id: "run",
  piece: "",
  name: "run",
  title: "Shelf run",
  match: "book",
  of: ["A/board", "B/board"],
  stock: "white ash",
  material: "solid",
  rough_mm: [825, 206, 50.8],
};
const operations = dry.sheet.operations.map((op) =>
  op.name === "plane" ? { ...op, sharpen: ["the plane's iron", "the scraper"], sharpen_minutes: 10 } : op,
);
const shelves: Started = { ...dry, sheet: { ...dry.sheet, boards: [board], operations } };

afterEach(closePage);

test("the cutting list has the board with its rough size and its parts in order", async () => {
  await openPage([], 1, shelves);
  await show(cuttingListPath("b"));

  expect(wordsAt("h2")).toContain("From one board each");
  expect(wordsAt(".cut > strong").at(-1)).toBe("1 ×");
  expect(wordsAt(".cut:last-child .figure").at(-1)).toBe("825 × 206 × 50.8 mm rough");
  expect(wordsAt(".cut small").slice(-3)).toEqual([
    "white ash",
    "In this order: Board, Board",
    "Opened like a book in pairs",
  ]);
});

test("what comes from a board has no rough size of its own", async () => {
  const row = {
    part: "board",
    title: "Board",
    of: ["A/board", "B/board"],
    stock: "white ash",
    material: "solid" as const,
    finished_mm: [400, 180, 20],
    rough_mm: [425, 186],
    bought: "4/4",
    bought_mm: 25.4,
  };
  const roughs = () => wordsAt(".cut small").filter((text) => text.startsWith("Rough "));
  await openPage([], 1, { ...dry, sheet: { ...dry.sheet, cutting_list: [row] } });
  await show(cuttingListPath("b"));
  expect(roughs()).toEqual(["Rough 425 × 186 mm"]);
  closePage();

  await openPage([], 1, { ...shelves, sheet: { ...shelves.sheet, cutting_list: [row] } });
  await show(cuttingListPath("b"));
  expect(roughs()).toEqual([]);
});

test("a part says which of the board's it is", async () => {
  await openPage([], 1, shelves);
  await show("/b/b/p/B%2Fboard");

  expect(wordsAt(".facts dd")).toContain("2 of 2 from the shelf run");
});

test("what is sharpened stands after the checks, with its minutes", async () => {
  await openPage([], 1, shelves);
  await show("/b/b/o/A%2Fplane");

  expect(wordsAt("h2")).toContain("Then sharpen");
  expect(document.body.textContent).toContain("the plane's iron and the scraper, 10 min of the time above");
});

test("nothing of it stands where nothing is dulled", async () => {
  await openPage([], 1, shelves);
  await show("/b/b/o/A%2Fcut");

  expect(wordsAt("h2")).not.toContain("Then sharpen");
});
