import { expect, test } from "vitest";
import { mayInterrupt } from "../../pwa/src/alerts/held_back.ts";
import type { Alarm, RunningClock } from "../../pwa/src/alerts/schedule.ts";

const MINUTE = 60_000;

const ring = (kind: Alarm["kind"], operation = "A/glue"): Alarm => ({
  ...{ build: "b", operation, kind, stage: "s", name: `${kind}|s|0`, at: 0 },
});
/** B's glue went on at 0 and stays open for ten minutes. */
const open: RunningClock = {
  ...{ build: "b", operation: "B/glue", kind: "open", started: 0, stamp: 0, least: null, most: 10 * MINUTE },
  ...{ phase: "running", celsius: null, humidity: null, too_cold: false },
};
const pare = ring("squeeze-out");
const NOBODY: ReadonlySet<string> = new Set();

test("with no glue open everything that rings interrupts", () => {
  expect(mayInterrupt([pare], [{ ...open, kind: "pot" }], NOBODY, MINUTE)).toEqual([pare]);
});

test.each([1, 9, 11, 19])("squeeze-out waits for open glue, %s min after it was spread", (minutes) => {
  expect(mayInterrupt([pare], [open], NOBODY, minutes * MINUTE)).toEqual([]);
});

test("but not for glue that was forgotten", () => {
  expect(mayInterrupt([pare], [open], NOBODY, 20 * MINUTE)).toEqual([pare]);
});

test("nor for glue in other hands", () => {
  expect(mayInterrupt([pare], [open], new Set(["b B/glue"]), MINUTE)).toEqual([pare]);
});

test("the glue's own rings, and what cannot wait, sound all the same", () => {
  const urgent = [ring("open", "B/glue"), ring("rags"), ring("wipe-off"), ring("pot")];

  expect(mayInterrupt([...urgent, pare, ring("in-clamps")], [open], NOBODY, MINUTE)).toEqual(urgent);
});
