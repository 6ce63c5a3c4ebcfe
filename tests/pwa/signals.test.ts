import { signal } from "@preact/signals";
import { expect, test } from "vitest";
import { stableList } from "../../pwa/src/live/signals.ts";

test("a list that comes out alike stays the same list", () => {
  const source = signal(1);
  const list = stableList(() => [{ half: Math.floor(source.value / 2), name: "a" }]);
  source.value = 2;
  const before = list.value;
  source.value = 3;

  expect(list.value).toBe(before);
});

test("one that does not is a new one", () => {
  const source = signal<{ at: number | null }[]>([{ at: null }]);
  const list = stableList(() => source.value.map((one) => ({ ...one })));
  const before = list.value;
  source.value = [{ at: 0 }];

  expect(list.value).not.toBe(before);
  expect(list.value).toEqual([{ at: 0 }]);

  source.value = [];

  expect(list.value).toEqual([]);
});
