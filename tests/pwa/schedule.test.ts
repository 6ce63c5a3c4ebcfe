import { expect, test } from "vitest";
import { readQuiet } from "../../pwa/src/alerts/quiet.ts";
import { nextChange, type RunningClock } from "../../pwa/src/alerts/schedule.ts";

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const NIGHT = readQuiet({ from: "00:00", to: "08:00", zone: "UTC" });

const clock = (kind: RunningClock["kind"], least: number | null, most: number | null): RunningClock => ({
  ...{ build: "b", operation: "A/glue", kind, started: 0, stamp: 0, least, most },
  ...{ phase: "running", celsius: null, humidity: null, too_cold: false },
});
const clamps = clock("in-clamps", HOUR, null);
const open = clock("open", null, 10 * MINUTE);

test("with no clock nothing comes", () => {
  expect(nextChange([], null, 0)).toBe(null);
});

test("the next change is the first ring of any clock that is still to come", () => {
  expect(nextChange([clamps, open], null, 0)).toBe(5 * MINUTE);
  expect(nextChange([clamps, open], null, 5 * MINUTE)).toBe(8 * MINUTE);
  expect(nextChange([clamps, open], null, 10 * MINUTE - 1)).toBe(10 * MINUTE);
  expect(nextChange([clamps, open], null, 10 * MINUTE)).toBe(HOUR);
  expect(nextChange([clamps, open], null, HOUR)).toBe(null);
});

test("a clock turns due in quiet hours, and is heard when they end", () => {
  expect(nextChange([clamps], NIGHT, 0)).toBe(HOUR);
  expect(nextChange([clamps], NIGHT, HOUR)).toBe(8 * HOUR);
  expect(nextChange([clamps], NIGHT, 8 * HOUR)).toBe(null);
});

test("what cannot wait is heard in quiet hours", () => {
  expect(nextChange([open], NIGHT, 0)).toBe(5 * MINUTE);
});

test("oily rags never come to an end", () => {
  const rags = clock("rags", 15 * MINUTE, null);

  expect(nextChange([rags], NIGHT, 0)).toBe(15 * MINUTE);
  expect(nextChange([rags], NIGHT, 1000 * HOUR)).toBe(15 * MINUTE + 3.5 * HOUR + 1000 * HOUR);
});
