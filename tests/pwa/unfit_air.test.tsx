// @vitest-environment happy-dom
import { afterEach, expect, test, vi } from "vitest";
import { type Before, closePage, lastRecorded, openPage, show, submit, tap, wordsAt, write } from "./page.ts";

const GLUE = "/b/b/o/A%2Fglue";

/** The glue of the stand needs 10 °C at least. */
const read = (minutes: number, celsius: number): Before => [minutes, { kind: "conditions", celsius, humidity: 55 }];
const cut: Before[] = ["rough-out", "A/cut-legs", "A/cut-rail"].map((operation) => [
  1,
  { kind: "finished", operation },
]);
const WHY = "Too cold for this glue: 8 °C (46 °F) at the bench, it needs at least 10 °C (50 °F).";

const dialog = () => document.querySelector("dialog") as Element;

afterEach(closePage);

test("before a glue-up begins it says that the air is too cold, and wants a reason", async () => {
  await openPage([...cut, read(2, 8)], 3);
  await show(GLUE);

  expect(wordsAt(".deeds .hint")).toEqual([WHY]);

  await tap("Begin");

  expect(wordsAt("dialog h2")).toEqual(["Too cold for this glue"]);

  await write("Reason", "The wood is warm");
  await submit("Go on all the same");
  await vi.waitFor(() => lastRecorded("began"));

  expect(lastRecorded("noted").what).toEqual({ kind: "noted", text: "Too cold for the glue: The wood is warm" });
  expect(lastRecorded("began").what).toEqual({ kind: "began", operation: "A/glue" });
});

test("a warmer reading, taken there and then, answers it", async () => {
  await openPage([...cut, read(2, 8)], 3);
  await show(GLUE);
  await tap("Begin");
  await tap("Read it now", dialog());
  await write("Temperature, °C", "18");
  await submit("Keep this reading");

  expect(wordsAt(".deeds .hint")).not.toContain(WHY);
});

test.each([
  ["as warm as it needs", read(2, 10)],
  ["read too long ago to say anything", read(-13 * 60, 8)],
])("it does not ask where the air is %s", async (_, air) => {
  await openPage([...cut, air], 3);
  await show(GLUE);

  expect(wordsAt(".deeds .hint")).not.toContain(WHY);
});

test("work without glue may begin in the cold", async () => {
  await openPage([[1, { kind: "finished", operation: "rough-out" }], read(2, 8)], 3);
  await show("/b/b/o/A%2Fcut-legs");

  expect(wordsAt(".deeds .hint")).not.toContain(WHY);
});

test("what was answered as it began is not asked again, until the air is read again", async () => {
  const begun: Before[] = [...cut, read(2, 8), [3, { kind: "began", operation: "A/glue" }]];
  await openPage(begun, 4);
  await show(GLUE);

  expect(wordsAt(".deeds .hint")).not.toContain(WHY);
  await closePage();

  await openPage([...begun, read(4, 8)], 5);
  await show(GLUE);

  expect(wordsAt(".deeds .hint")).toContain(WHY);
});

/** Clock cards in sight by the clock's name. */
const cardOf = (name: string) =>
  [...document.querySelectorAll(".clock-card, .row-words")].find((one) => one.textContent?.includes(name));

/** Hardwax oil needs 15 °C at least, and at most 80 % humidity. */
const COAT = "/b/b/o/A%2Foil-1";
const beforeCoat: Before[] = ["rough-out", "A/cut-legs", "A/cut-rail", "A/glue", "A/flush"].map((operation) => [
  1,
  { kind: "finished", operation },
]);
const airAt = (celsius: number, humidity: number): Before => [2, { kind: "conditions", celsius, humidity }];

async function showCoat(...before: readonly Before[]) {
  await openPage(before, 5);
  await show(COAT);
}

test.each([
  ["cold", airAt(8, 55), "8 °C (46 °F) at the bench, it needs at least 15 °C (59 °F)."],
  ["damp", airAt(18, 90), "90 % humidity at the bench, it needs at most 80 %."],
])("before a coat goes on it says that the air is too %s, and wants a reason", async (is, air, why) => {
  await showCoat(...beforeCoat, air);

  expect(wordsAt(".deeds .hint")).toEqual([`Too ${is} for this finish: ${why}`]);

  await tap("Begin");

  expect(wordsAt("dialog h2")).toEqual([`Too ${is} for this finish`]);

  await write("Reason", "The label allows it");
  await submit("Go on all the same");
  await vi.waitFor(() => lastRecorded("began"));

  expect(lastRecorded("noted").what).toEqual({ kind: "noted", text: `Too ${is} for the finish: The label allows it` });
});

test("a coat goes on in air that is as warm and as damp as it stands", async () => {
  await showCoat(...beforeCoat, airAt(15, 80));

  expect(wordsAt(".deeds .hint").join(" ")).not.toContain("Too ");
});

test("before a coat it asks for a reading where the last one is too old", async () => {
  await showCoat(...beforeCoat, [-13 * 60, { kind: "conditions", celsius: 8, humidity: 55 }]);

  expect(wordsAt(".deeds .look").join(" ")).toContain("Read the air first");
});

test.each([
  ["cold", 8, 55, "Too cold for this finish since it went on, 8 °C (46 °F): "],
  ["damp", 18, 90, "Too damp for this finish since it went on, 90 % humidity: "],
])("the clock of a coat that went on in air too %s says that it may not be dry", async (_, celsius, humidity, why) => {
  const on: Before[] = [
    [3, { kind: "began", operation: "A/oil-1" }],
    [4, { kind: "coat-on", operation: "A/oil-1", celsius, humidity }],
  ];
  await showCoat(...beforeCoat, ...on);

  expect(cardOf("Next coat")?.textContent).toContain(`${why}it dries more slowly than this clock knows.`);
  expect(cardOf("Oily rags")?.textContent).not.toContain("more slowly");
});

test("a clock in the cold shows no countdown, for its time proves nothing", async () => {
  const clamped: Before[] = [
    ...cut,
    read(2, 8),
    [3, { kind: "began", operation: "A/glue" }],
    [4, { kind: "mixed", operation: "A/glue" }],
    [5, { kind: "glue-on", operation: "A/glue", celsius: 8, humidity: 55 }],
    [8, { kind: "clamped", operation: "A/glue" }],
  ];
  await openPage(clamped, 9);
  await show(GLUE);

  const [card, ...others] = [...document.querySelectorAll(".clock-card")].filter((one) =>
    one.textContent?.includes("In clamps"),
  );

  expect(others).toEqual([]);
  expect(card?.querySelector(".now-word")?.textContent).toBe("Too cold");
  expect(card?.querySelector("[role=timer], progress, time")).toBeNull();
  expect(wordsAt(".deeds .hint").join(" ")).toContain("proves nothing");

  await show("/wall");

  expect(wordsAt(".wall-digits")).toContain("Too cold");
});
