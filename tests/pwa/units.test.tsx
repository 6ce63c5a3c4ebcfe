// @vitest-environment happy-dom
/** Sizes are in the recipe's units, unless this device was told otherwise. */
import { afterEach, expect, test } from "vitest";
import { builds, shownIn, unitsOf } from "../../pwa/src/live/state.ts";
import { choose, closePage, lastRecorded, openPage, show, submit, tap, wordsAt, write } from "./page.ts";

afterEach(async () => {
  shownIn.value = "recipe";
  await closePage();
});

/** Gives the open build's sheet these units, as if its recipe had them. */
function inRecipe(units: "mm" | "in") {
  builds.value = builds.value.map((view) => ({ ...view, sheet: { ...view.sheet, units } }));
}

test.each([
  ["mm", "recipe", "mm"],
  ["in", "recipe", "in"],
  ["in", "mm", "mm"],
  ["mm", "in", "in"],
] as const)("a recipe in %s on a device that shows %s is shown in %s", (units, setting, shown) => {
  shownIn.value = setting;

  expect(unitsOf({ units })).toBe(shown);
});

test("a setup, a part and what is written down are in inches where the recipe is", async () => {
  await openPage([], 5);
  inRecipe("in");
  await show("/b/b/p/A%2Frail");

  expect(wordsAt(".sizes .figure")).toEqual(["≈11 13/16 in", "≈1 1/2 in", "≈1 1/2 in"]);

  await show("/b/b/o/A%2Fcut-rail"); // a stop at 300 mm: 300 / 25.4 = 11.811

  expect(wordsAt(".setup .figure")).toEqual(["≈11 13/16 in"]);

  await tap("Write down as set");
  await write("stop", "12");
  await submit("Keep as set");

  expect(lastRecorded("set-up").what).toMatchObject({ values: { stop: expect.closeTo(304.8, 6) } });
});

test("a device that shows millimetres does so whatever the recipe's units are", async () => {
  await openPage([], 5);
  inRecipe("in");
  await show("/shop");
  await choose("Millimetres");
  await show("/b/b/p/A%2Frail");

  expect(wordsAt(".sizes .figure")).toEqual(["300 mm", "38 mm", "38 mm"]);
});

test("where all recipes are in inches the thermometer is taken to show °F", async () => {
  await openPage([], 5);
  inRecipe("in");
  await show("/shop");
  await tap("Read it now");
  await write("Temperature, °F", "50");
  await submit("Keep this reading");

  expect(wordsAt(".air p:not(.look)").join()).toContain("10 °C (50 °F), read");
});

test("the air is read on the scale that was chosen last", async () => {
  await openPage([], 5);
  await show("/shop");
  await tap("Read it now");
  await choose("°F");
  await write("Temperature, °F", "68");
  await submit("Keep this reading");

  expect(wordsAt(".air p:not(.look)").join()).toContain("20 °C (68 °F), read");

  await tap("Read it now");
  await choose("°C");
  await write("Temperature, °C", "12");
  await submit("Keep this reading");

  expect(wordsAt(".air p:not(.look)").join()).toContain("12 °C (54 °F), read");
});
