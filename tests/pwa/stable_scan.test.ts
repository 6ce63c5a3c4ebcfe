import { expect, test } from "vitest";
import { StableScan } from "../../pwa/src/screens/scan/stable_scan.ts";

const LOOK_MS = 50;

/** What is taken, look by look; each look a list of what is in view. */
function taken(...looks: readonly (readonly string[])[]): (string | null)[] {
  const stableScan = new StableScan();
  return looks.map((texts, n) =>
    stableScan.look(
      texts.map((text) => ({ text, corners: [] })),
      n * LOOK_MS,
    ),
  );
}

const none = (count: number): readonly string[][] => Array.from({ length: count }, () => []);

test("a label is taken at the second look that sees it, and once", () => {
  expect(taken(["a"], ["a"], ["a"], ["a"])).toEqual([null, "a", null, null]);
});

test("a label that passes by is not taken", () => {
  expect(taken(["a"], ["b"], ["c"])).toEqual([null, null, null]);
});

test("a look that misses it does not matter", () => {
  expect(taken(["a"], [], ["a"])).toEqual([null, null, "a"]);
});

test("a view that was empty for long begins anew", () => {
  expect(taken(["a"], ...none(10), ["a"], ["a"]).slice(-2)).toEqual([null, "a"]);
});

test("of several labels none is taken: the person chooses", () => {
  expect(taken(["a", "b"], ["b", "a"], ["a", "b"])).toEqual([null, null, null]);
});

test("two squares with the same code are one label", () => {
  expect(taken(["a", "a"], ["a"])).toEqual([null, "a"]);
});

test("the next label is taken at once", () => {
  expect(taken(["a"], ["a"], ["b"], ["b"])).toEqual([null, "a", null, "b"]);
});

test("a label may be taken again when it was out of view for a while, not before", () => {
  expect(taken(["a"], ["a"], ...none(10), ["a"], ["a"]).slice(-2)).toEqual([null, null]);
  expect(taken(["a"], ["a"], ...none(40), ["a"], ["a"]).slice(-2)).toEqual([null, "a"]);
});

test("a label that was tapped is not taken again by itself", () => {
  const stableScan = new StableScan();
  stableScan.take("a", 0);

  expect([1, 2].map((n) => stableScan.look([{ text: "a", corners: [] }], n * LOOK_MS))).toEqual([null, null]);
});
