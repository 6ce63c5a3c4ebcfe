// @vitest-environment happy-dom
import { afterEach, expect, test } from "vitest";
import { longerWanted } from "../../pwa/src/screens/operation/longer.tsx";
import {
  type Before,
  buttons,
  choose,
  closePage,
  lastRecorded,
  MINUTE,
  openPage,
  recorded,
  show,
  submit,
  tap,
  wordsAt,
  write,
} from "./page.ts";

const LEGS = "/b/b/o/A%2Fcut-legs";
const GLUE = "/b/b/o/A%2Fglue";
const ABOUT_GLUE = ["A/glue", "A/leg-1", "A/leg-2", "A/rail", "A/frame"];
const HOUR = 60 * MINUTE;

const clamped: Before[] = [
  [1, { kind: "finished", operation: "A/cut-legs" }],
  [1, { kind: "finished", operation: "A/cut-rail" }],
  [2, { kind: "glue-on", operation: "A/glue" }],
  [9, { kind: "clamped", operation: "A/glue" }],
];

afterEach(async () => {
  longerWanted.value = null;
  await closePage();
});

test("while nothing was done there is nothing to undo, and no wait to make longer", async () => {
  await openPage([], 0);
  await show(LEGS);

  expect(buttons()).toContain("Note");
  expect(buttons()).not.toContain("Undo last");
  expect(buttons()).not.toContain("Longer");
});

test("a note is kept about the operation and its parts; an empty one is not", async () => {
  await openPage([], 0);
  await show(GLUE);
  await tap("Note");
  await write("What to remember", "   ");
  await submit("Keep the note");

  expect(recorded()).toEqual([]);

  await tap("Note");
  await write("What to remember", " Leg 1 has a knot. ");
  await submit("Keep the note");

  expect(lastRecorded("noted")).toMatchObject({ what: { text: "Leg 1 has a knot." }, about: ABOUT_GLUE });
  expect(wordsAt("dialog[open]")).toEqual([]);
});

test("the last thing is told, and undone on a tap", async () => {
  await openPage([[1, { kind: "finished", operation: "rough-out" }]], 2);
  await show(LEGS);
  await tap("Begin");

  expect(wordsAt(".block > p.soft")[0]).toMatch(/^Last, .*: Began: Cut legs/);

  const began = lastRecorded("began");
  await tap("Undo last");

  expect(lastRecorded("undone")).toMatchObject({ what: { happening: began.id }, about: began.about });
  expect(wordsAt(".deeds .main")).toEqual(["Begin"]);
  expect(buttons()).not.toContain("Undo last");
});

test("a wait is made an hour longer, or as much as is chosen, with a reason that may be empty", async () => {
  await openPage(clamped, 30);
  await show(GLUE);
  await tap("Longer");

  expect(wordsAt("dialog[open] fieldset:first-of-type label")).toEqual(["Squeeze-out", "In clamps", "Rest"]);

  await choose("In clamps");
  await write("Reason", "Too cold here");
  await submit("Leave it longer");

  expect(lastRecorded("lengthened")).toMatchObject({
    what: { operation: "A/glue", clock: "in-clamps", by_ms: HOUR, reason: "Too cold here" },
    about: ABOUT_GLUE,
  });
});

test("tapped on a notice, it asks at once, for that clock, and offers ten minutes", async () => {
  await openPage(clamped, 80);
  longerWanted.value = { build: "b", operation: "A/glue", kind: "in-clamps" };
  await show(GLUE);

  expect(wordsAt("dialog[open] legend")).toEqual(["How much longer"]);

  await submit("Leave it longer");

  expect(lastRecorded("lengthened").what).toMatchObject({ clock: "in-clamps", by_ms: 10 * MINUTE, reason: "" });
  expect(longerWanted.value).toBeNull();
});

test("a notice about another operation asks nothing here", async () => {
  await openPage(clamped, 80);
  longerWanted.value = { build: "b", operation: "B/glue", kind: "in-clamps" };
  await show(GLUE);

  expect(wordsAt("dialog[open]")).toEqual([]);
});
