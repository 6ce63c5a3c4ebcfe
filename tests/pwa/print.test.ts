import { expect, test } from "vitest";
import { firstAfter, USUAL } from "../../pwa/src/screens/print/form.ts";

test.each([
  ["1", 4, "5"],
  ["20", 2, "1"],
  ["20", 5, "4"],
  ["3", 21, "3"],
])("on a sheet of 21 begun at %s, %i labels leave %s as the first free one", (first, labels, free) => {
  expect(firstAfter({ ...USUAL, rows: "7", columns: "3", first }, labels)).toBe(free);
});

test("a roll has no first free label", () => {
  expect(firstAfter({ ...USUAL, paper: "roll", first: "1" }, 4)).toBe("1");
});
