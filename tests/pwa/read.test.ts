import { expect, test } from "vitest";
import { readable } from "../../pwa/src/bench/read.ts";
import { MOST_VALUE } from "../../pwa/src/recipe/measure.ts";

function measured(value: number) {
  const at = { ms: 1, counter: 0, device: "a".repeat(16) };
  const what = { kind: "measured", size: "rail", piece: "", value };
  return readable({ id: "1", n: 1, at, build: "b", about: [], what });
}

test("a size that no workshop has counts as of no kind, and the greatest allowed is read", () => {
  expect(measured(MOST_VALUE).what).not.toBeNull();
  for (const value of [1e308, -1e308, MOST_VALUE * 1.001, Number.NaN]) expect(measured(value).what).toBeNull();
});
