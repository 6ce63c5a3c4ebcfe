// @vitest-environment happy-dom
import { afterEach, expect, test } from "vitest";
import { advice } from "../../pwa/src/live/state.ts";
import type { Started } from "../../pwa/src/wire.gen.ts";
import dryText from "../vectors/dry/started.json?raw";
import {
  type Before,
  buttons,
  closePage,
  lastRecorded,
  openPage,
  recorded,
  show,
  submit,
  tap,
  wordsAt,
  write,
} from "./page.ts";

/** Two shelves whose boards are measured before they are cut: at most 9 % of moisture. */
const dry: Started = JSON.parse(dryText);
const MEASURE = "/b/b/o/A%2Fmeasure";
const CUT = "/b/b/o/A%2Fcut";
const AGAIN = "Moisture 11 %, at most 9 %: measure again.";

const measured = (value: number): Before => [1, { kind: "measured", size: "moisture", piece: "A", value }];
const began: Before = [1, { kind: "began", operation: "A/measure" }];
const finished: Before = [2, { kind: "finished", operation: "A/measure" }];
const tooDamp = [measured(11), finished];

const statusOf = () => wordsAt(".status-line strong");
const hint = () => wordsAt(".deeds .hint")[0];

afterEach(closePage);

test("measured out of its bounds it says so, and what to do", async () => {
  await openPage(tooDamp, 3, dry);
  await show(MEASURE);

  expect(statusOf()).toEqual(["To be measured again"]);
  expect(hint()).toBe(AGAIN);
  expect(buttons(document.querySelector(".deeds") as Element)).toEqual(["Measure again", "Go on as it is"]);
});

test("what comes after it says why it waits, and can be begun with a reason", async () => {
  await openPage(tooDamp, 3, dry);
  await show(CUT);

  expect(statusOf()).toEqual(["Waiting"]);
  expect(hint()).toBe(`Waits for: Measure the moisture. ${AGAIN}`);

  await tap("Begin");

  expect(wordsAt("dialog[open] .rows small")).toEqual([AGAIN]);
});

test("measured again within its bounds it is done, and the next may begin", async () => {
  await openPage(tooDamp, 60, dry);
  await show(MEASURE);
  await tap("Measure again");
  await write("As measured", "8.5");
  await submit("Keep this size");

  expect(lastRecorded("measured").what).toEqual({ kind: "measured", size: "moisture", piece: "A", value: 8.5 });
  expect(statusOf()).toEqual(["Done"]);

  await show(CUT);

  expect(statusOf()).toEqual(["Ready"]);
});

test("the question warns while a value out of its bounds is written", async () => {
  await openPage([began], 3, dry);
  await show(MEASURE);
  await tap("Measure");
  await write("As measured", "12 %");

  expect(wordsAt("dialog[open] [role=status]")).toEqual([
    "It is to be at most 9 %: keep it, and what comes after waits until it is.",
  ]);
});

test("finishing it too damp offers to leave it, or wants a reason", async () => {
  await openPage([began, measured(11), [1, { kind: "ticked", operation: "A/measure", part: "A/board" }]], 3, dry);
  await show(MEASURE);

  expect(hint()).toBe(AGAIN);

  await tap("Finish");
  await tap("Leave it, and measure again later");

  expect(lastRecorded("finished").what).toMatchObject({ reason: "" });
  expect(statusOf()).toEqual(["To be measured again"]);
});

test("it goes on as it is only with a reason, which the log keeps", async () => {
  await openPage(tooDamp, 3, dry);
  await show(MEASURE);
  await tap("Go on as it is");
  await submit("Go on all the same");

  expect(recorded()).toEqual([]);

  await tap("The meter reads wrong");
  await submit("Go on all the same");

  expect(lastRecorded("finished").what).toMatchObject({ reason: "The meter reads wrong" });
  expect(statusOf()).toEqual(["Done"]);
});

test("the bench offers to measure again, after what is ready", async () => {
  await openPage(tooDamp, 3, dry);

  expect(advice.value.now.map(({ operation, reason }) => [operation, reason])).toEqual([
    ["B/measure", expect.any(String)],
    ["A/measure", AGAIN],
  ]);
});
