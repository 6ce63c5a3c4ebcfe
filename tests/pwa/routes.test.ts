import { expect, test } from "vitest";
import { batchPath, membersIn, operationPath, partPath, printPath, recipePath } from "../../pwa/src/screens/paths.ts";
import { placeAt, TABS } from "../../pwa/src/screens/routes.tsx";

test.each([
  ["/", "Bench", "bench", {}],
  ["/scan", "Scan", "scan", {}],
  ["/builds", "Builds", "builds", {}],
  ["/plan", "Plan", "bench", {}],
  ["/shop", "Shop", "shop", {}],
  ["/b/0190", "Build", "builds", { build: "0190" }],
  ["/b/0190/log", "Log", "builds", { build: "0190" }],
  ["/b/0190/print", "Print labels", "builds", { build: "0190" }],
  ["/b/0190/o/A%2Fcut%20legs", "Operation", "bench", { build: "0190", operation: "A/cut legs" }],
  ["/b/0190/p/A%2Fleg-1", "Part", "scan", { build: "0190", part: "A/leg-1" }],
  ["/P/BFXR71N8", "Label", "scan", { code: "BFXR71N8" }],
  ["/p/bfxr71n8/", "Label", "scan", { code: "bfxr71n8" }],
  ["/S/TABLE-SAW", "Station", "scan", { name: "TABLE-SAW" }],
  ["/c/pipe", "Clamp rack", "scan", { name: "pipe" }],
  ["/recipes", "Recipes", "builds", {}],
  ["/recipes/plant-stand", "Recipe", "builds", { name: "plant-stand" }],
  ["/b/0190/o/%E0%A4%A", "Operation", "bench", { build: "0190", operation: "%E0%A4%A" }],
])("%s is %s", (path, title, lit, params) => {
  const place = placeAt(path);

  expect(place).toMatchObject({ title, lit, isWhole: false });
  expect(place.screen.props).toEqual({ title, ...params });
});

test("the wall fills the screen", () => {
  expect(placeAt("/wall")).toMatchObject({ title: "Wall", lit: "", isWhole: true });
});

test.each(["/scan/more", "/b/0190/x/1", "/SCAN/", "/lost"])("nothing is at %s", (path) => {
  expect(placeAt(path).screen.props).toMatchObject({ what: `There is no place ${path} in this page.` });
});

test("a tab opens the first place of its own", () => {
  expect(TABS.map(({ path, title }) => [path, title])).toEqual([
    ["/", "Bench"],
    ["/scan", "Scan"],
    ["/builds", "Builds"],
    ["/shop", "Shop"],
  ]);
});

test.each([
  [operationPath("0190", "A/cut legs"), { build: "0190", operation: "A/cut legs" }],
  [partPath("0190", "A/leg 1"), { build: "0190", part: "A/leg 1" }],
  [recipePath("plant stand?"), { name: "plant stand?" }],
])("the address %s reads back as what it was made of", (path, params) => {
  expect(placeAt(path).screen.props).toMatchObject(params);
});

test("the address of one label names it", () => {
  expect(printPath("0190", "A/leg 1")).toBe("/b/0190/print?only=A%2Fleg%201");
});

test("the address of a batch names its operations, and that of a single one is its own", () => {
  const members = [
    { build: "0190", operation: "A/cut legs" },
    { build: "0191", operation: "B/cut legs" },
  ];

  expect(placeAt(batchPath(members)).screen.props).toMatchObject({ members: "0190 A/cut legs,0191 B/cut legs" });
  expect(membersIn("0190 A/cut legs,0191 B/cut legs")).toEqual(members);
  expect(membersIn("nonsense,,0190 ")).toEqual([]);
  expect(batchPath(members.slice(0, 1))).toBe(operationPath("0190", "A/cut legs"));
});
