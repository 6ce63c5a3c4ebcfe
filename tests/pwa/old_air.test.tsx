// @vitest-environment happy-dom
import { afterEach, expect, test } from "vitest";
import { shownIn } from "../../pwa/src/live/state.ts";
import { clockTime } from "../../pwa/src/moments.ts";
import {
  type Before,
  closePage,
  lastRecorded,
  MINUTE,
  openPage,
  START,
  show,
  submit,
  tap,
  wordsAt,
  write,
} from "./page.ts";

const GLUE = "/b/b/o/A%2Fglue";
const HOUR = 60;

const read = (minutes: number, celsius: number, humidity: number | null = 55): Before => [
  minutes,
  { kind: "conditions", celsius, humidity },
];
const cut: Before[] = ["rough-out", "A/cut-legs", "A/cut-rail"].map((operation) => [
  1,
  { kind: "finished", operation },
]);
const mixed: Before[] = [
  ...cut,
  [2, { kind: "began", operation: "A/glue" }],
  [3, { kind: "mixed", operation: "A/glue" }],
];

/** The glue-up in clamps, so many minutes after the start, with no word of the air. */
const clampedAt = (minutes: number): Before[] => [
  ...mixed,
  [minutes - 5, { kind: "glue-on", operation: "A/glue", celsius: null, humidity: null }],
  [minutes, { kind: "clamped", operation: "A/glue" }],
];

const timeOf = (minutes: number, now: number) => clockTime(START + minutes * MINUTE, START + now * MINUTE);
const OLD =
  "Too old to go by. Read it again: until then the careful times count, the longer in clamps and the shorter open time.";

afterEach(closePage);

test.each([
  ["twelve hours old", 12 * HOUR + 5, []],
  ["older", 12 * HOUR + 6, [OLD]],
])("the shop's screen says that a reading is too old to go by when it is %s", async (_, minutes, said) => {
  await openPage([read(5, 17)], minutes);
  await show("/shop");

  expect(wordsAt(".air p:not(.look)")).toEqual([`17 °C (63 °F), 55 % humidity, read ${timeOf(5, minutes)}.`]);
  expect(wordsAt(".air .look")).toEqual(said);
});

test("before the glue goes on it asks for a new reading, and takes it there and then", async () => {
  await openPage([...mixed, read(5, 17)], 13 * HOUR);
  await show(GLUE);

  expect(wordsAt(".deeds .look")).toEqual([
    `Read the air first: the last reading, ${timeOf(5, 13 * HOUR)}, is too old.`,
  ]);

  await tap("Read it now", document.querySelector(".deeds") as Element);
  await write("Temperature, °C", "12");
  await submit("Keep this reading");

  expect(wordsAt(".look")).toEqual([]);

  await tap("Glue on");

  expect(lastRecorded("glue-on").what).toEqual({ kind: "glue-on", operation: "A/glue", celsius: 12, humidity: null });
});

test.each([
  ["a reading that is fresh", GLUE, [...mixed, read(11 * HOUR, 17)]],
  ["no reading at all", GLUE, mixed],
  ["work without glue", "/b/b/o/A%2Fcut-legs", [read(5, 17)]],
  ["a glue-up whose glue is on", GLUE, [...clampedAt(12), read(5, 17)]],
])("with %s it does not ask", async (_, path, before) => {
  await openPage(before, 13 * HOUR);
  await show(path);

  expect(wordsAt(".deeds .look")).toEqual([]);
});

test("a clock that runs by an old reading says so and asks, until somebody reads the air", async () => {
  const clamped = 14 * HOUR;
  await openPage([read(5, 11, 50), ...clampedAt(clamped)], clamped + 1);
  await show("/");

  expect(wordsAt(".clocks .look")).toContain(
    "The air was read too long ago, at 11 °C (52 °F): the longer time counts until you read it again.",
  );
  expect(wordsAt(".clocks small")).toContain(`Leave the clamps on. Until ${timeOf(clamped + 75, clamped + 1)}.`);
  expect(wordsAt(".air .look")).toEqual([OLD]);

  await tap("Read it now");
  await write("Temperature, °C", "12");
  await write("Humidity, %", "40");
  await submit("Keep this reading");

  expect(wordsAt(".look")).toEqual([]);
  expect(wordsAt(".clocks small")).toContain(`Leave the clamps on. Until ${timeOf(clamped + 40, clamped + 1)}.`);
});

test("once the longer time is over it asks no more", async () => {
  const clamped = 14 * HOUR;
  await openPage([read(5, 11, 50), ...clampedAt(clamped)], clamped + 75);
  await show(GLUE);

  expect(wordsAt(".clocks .now-word")).toContain("Now");
  expect(wordsAt(".clock-card .look")).toEqual([]);
});

test("too cold at an old reading, the clamps stay on until somebody reads the air", async () => {
  const clamped = 14 * HOUR;
  await openPage([read(5, 9, 50), ...clampedAt(clamped)], clamped + 300);
  await show(GLUE);
  const why =
    "At the last reading, 9 °C (48 °F), it was too cold for this glue. Read the air again: until then the time that passes proves nothing.";

  expect(wordsAt(".clocks .look")).toContain(why);
  expect(wordsAt(".deeds .hint")).toEqual([why]);
});

test("where sizes are in inches the air is read in °F, and kept in °C", async () => {
  await openPage([...mixed, read(5, 17)], 13 * HOUR);
  shownIn.value = "in";
  await show(GLUE);
  await tap("Read it now", document.querySelector(".deeds") as Element);
  await write("Temperature, °F", "150");
  await submit("Keep this reading");

  expect(wordsAt("dialog [role=alert]")).toContain("The temperature is 150 °F, wanted -4 to 140.");

  await write("Temperature, °F", "68");
  await submit("Keep this reading");

  expect(wordsAt(".air p:not(.look)").join()).toContain("20 °C (68 °F), read");
  shownIn.value = "recipe";
});
