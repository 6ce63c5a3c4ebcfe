import { expect, test } from "vitest";
import type { BuildView } from "../../pwa/src/bench/loaded_builds.ts";
import { byStrip, equalJoined, stripText, trimmedText } from "../../pwa/src/screens/words/cut_rows.ts";
import {
  boughtText,
  finishedByText,
  madeText,
  namesMade,
  roughText,
  sizesText,
} from "../../pwa/src/screens/words/cut_sizes.ts";
import type { AsBuilt, CutListRow, Operation, Part, Size, ToSize } from "../../pwa/src/wire.gen.ts";

const rail = (piece: string): Part => ({
  id: `${piece}/rail`,
  piece,
  name: "rail",
  title: "Rail",
  stock: "white ash",
  material: "solid",
  size: [["@clear", 40, "+"], [70], ["@thick"]],
  plan_mm: [340, 70, 25],
});

const size = (name: string, plan: number): Size => ({ name, dim: "length", formula: [plan], plan });

const ROW: CutListRow = {
  part: "rail",
  title: "Rail",
  of: ["A/rail", "B/rail"],
  stock: "white ash",
  material: "solid",
  finished_mm: [340, 70, 25],
  rough_mm: [365, 76],
  bought: "5/4",
  bought_mm: 31.75,
};

const MADE: ToSize = { part: "rail", stage: "finished", measures: ["length", "thickness"] };

/** Two pieces with a rail each; clear is measured in piece B where it is asked for. */
function view(clearOfB?: number): BuildView {
  const built: Record<string, AsBuilt> = clearOfB ? { "B|clear": { value: clearOfB } as unknown as AsBuilt } : {};
  const sheet = {
    parts: [rail("A"), rail("B")],
    sizes: [size("clear", 300), size("thick", 25)],
    cutting_list: [ROW],
  };
  return { sheet, bench: { as_built: built } } as unknown as BuildView;
}

const op = (parts: readonly string[], made: ToSize = MADE) => ({ parts, to_size: [made] }) as unknown as Operation;

test("sizes are written with one unit at the end", () => {
  expect(sizesText([420, 48, null], "mm")).toBe("420 × 48 × ? mm");
  expect(sizesText([25.4, 19.05], "in")).toBe("1 × 3/4 in");
});

test("the thickness to buy has its name and its size", () => {
  expect(boughtText(ROW, "mm")).toBe("5/4 (31.8 mm)");
  expect(boughtText({ ...ROW, bought: "", material: "sheet", bought_mm: 18 }, "mm")).toBe("18 mm");
  expect(boughtText({ ...ROW, bought: "", material: "veneer", bought_mm: 0.6 }, "mm")).toBe("veneer, 0.6 mm");
  expect(boughtText({ ...ROW, bought: "", material: "veneer", stock: "ash veneer", bought_mm: 1 }, "mm")).toBe("1 mm");
  expect(boughtText({ ...ROW, bought: "" }, "mm")).toBe("thicker than usually sold: glue it up");
});

test("rough sizes are told where something is cut over size", () => {
  expect(roughText(ROW, "mm")).toBe("Rough 365 × 76 mm");
  expect(roughText({ ...ROW, rough_mm: [340, 70] }, "mm")).toBe("");
});

test("what was measured in one piece counts for that piece alone", () => {
  expect([...finishedByText(view(), [ROW], "mm")]).toEqual([["340 × 70 × 25 mm", new Set(["A", "B"])]]);
  expect([...finishedByText(view(302), [ROW], "mm")]).toEqual([
    ["340 × 70 × 25 mm", new Set(["A"])],
    ["342 × 70 × 25 mm", new Set(["B"])],
  ]);
});

test("an operation tells the sizes it makes of its own parts", () => {
  expect(madeText(view(302), op(["B/rail"]), MADE, [ROW], "mm")).toBe("342 mm long, 25 mm thick");
  expect(madeText(view(302), op(ROW.of), MADE, [ROW], "mm")).toBe(
    "A: 340 mm long, 25 mm thick; B: 342 mm long, 25 mm thick",
  );
  expect(madeText(view(302), op(ROW.of), { ...MADE, stage: "rough", measures: ["length"] }, [ROW], "mm")).toBe(
    "365 mm long",
  );
});

test("a named size that is made needs no line of its own", () => {
  expect([...namesMade(view(), op(ROW.of))]).toEqual(["thick"]);
  expect([...namesMade(view(), op(ROW.of, { ...MADE, stage: "rough" }))]).toEqual([]);
});

test("rows that differ in nothing but their names are one", () => {
  const other = { ...ROW, part: "stretcher", title: "Stretcher", of: ["A/stretcher"] };
  const wider = { ...other, finished_mm: [340, 71, 25] };

  expect(equalJoined([ROW, wider, other]).map(({ title, rows }) => [title, rows])).toEqual([
    ["Rail, Stretcher", [ROW, other]],
    ["Stretcher", [wider]],
  ]);
});

test("what is cut from a strip stands under its section and how much of it there must be", () => {
  const lip = { ...ROW, finished_mm: [400, 21, 10], rough_mm: [425, 27], strip_mm: 1720 };
  const short = { ...lip, part: "short", finished_mm: [200, 21, 10] };

  expect(stripText(ROW, "mm")).toBe("");
  expect(stripText(lip, "in")).toBe("Together 68 in of ≈1 1/16 × ≈25/64 in, with saw cuts"); // 1720 / 25.4 = 67.7
  expect(byStrip([ROW, lip, short], "mm").map(([strip, rows]) => [strip, rows.length])).toEqual([
    ["", 1],
    ["Together 1720 mm of 27 × 10 mm, with saw cuts", 2],
  ]);
});

test("what becomes of a part is told with how many there are then", () => {
  expect(trimmedText(ROW, "mm")).toBe("");
  expect(trimmedText({ ...ROW, trimmed_mm: [330, 68, 24], trimmed_count: 2 }, "mm")).toBe(
    "In the end 330 × 68 × 24 mm",
  );
  expect(trimmedText({ ...ROW, trimmed_mm: [25.4, 70, 25.4], trimmed_count: 24 }, "in")).toBe(
    "In the end 24 of 1 × ≈2 3/4 × 1 in",
  );
});
