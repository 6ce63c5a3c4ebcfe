// @vitest-environment happy-dom
import { afterEach, expect, test, vi } from "vitest";
import type { What } from "../../pwa/src/bench/book.ts";
import { clockTime, timeOfDay } from "../../pwa/src/moments.ts";
import {
  type Before,
  button,
  buttons,
  closePage,
  dialog,
  lastRecorded,
  MINUTE,
  openPage,
  recorded,
  START,
  show,
  submit,
  tap,
  wordsAt,
  write,
} from "./page.ts";

/** When the clamps may come off, and when the joint has rested, after it was clamped at minute 9. */
const OFF = START + 69 * MINUTE;
const RESTED = START + (9 + 12 * 60) * MINUTE;

const GLUE = "/b/b/o/A%2Fglue";
const LEGS = "/b/b/o/A%2Fcut-legs";
const OIL = "/b/b/o/A%2Foil-1";

const done = (...operations: string[]): Before[] => operations.map((operation) => [1, { kind: "finished", operation }]);
const of = (operation: string, ...marks: readonly (readonly [number, string])[]): Before[] =>
  marks.map(([minutes, kind]) => [minutes, { kind, operation } as What]);

const cut = done("rough-out", "A/cut-legs", "A/cut-rail");
const glued = [...cut, ...of("A/glue", [2, "began"], [3, "mixed"], [4, "glue-on"], [9, "clamped"])];
const flushed = [...cut, ...done("A/glue", "A/flush")];

const mainButton = () => button(wordsAt(".deeds .main")[0] ?? "");
const hint = () => wordsAt(".deeds .hint")[0];

afterEach(closePage);

test.each<[string, string, readonly Before[], number, string, string]>([
  ["nothing is done", LEGS, [], 0, "Begin", "Waits for: Rough out."],
  ["what comes before is done", LEGS, done("rough-out"), 2, "Begin", ""],
  [
    "it is in hand",
    LEGS,
    [...done("rough-out"), ...of("A/cut-legs", [2, "began"])],
    3,
    "Finish",
    "Still open: 2 parts.",
  ],
  [
    "a mix is wanted",
    GLUE,
    [...cut, ...of("A/glue", [2, "began"])],
    3,
    "Mixed",
    "Tap when the two parts come together: pot life runs from then.",
  ],
  [
    "it is mixed",
    GLUE,
    [...cut, ...of("A/glue", [2, "began"], [3, "mixed"])],
    4,
    "Glue on",
    "Tap as the first glue is spread: open time runs from then.",
  ],
  ["the glue is on", GLUE, glued.slice(0, -1), 5, "Clamped", "Tap when the last clamp is tight."],
  ["it is in clamps", GLUE, glued, 30, "Clamps off", `Not before ${timeOfDay(OFF)}.`],
  ["the clamps may come off", GLUE, glued, 70, "Clamps off", ""],
  [
    "the clamps are off",
    GLUE,
    [...glued, ...of("A/glue", [70, "clamps-off"])],
    71,
    "Finish",
    "Still open: 3 parts and 2 checks.",
  ],
  [
    "the rest is not over",
    "/b/b/o/A%2Fflush",
    [...glued, ...of("A/glue", [70, "clamps-off"], [71, "finished"])],
    72,
    "Begin",
    `Held until ${clockTime(RESTED, START + 72 * MINUTE)}: Glue.`,
  ],
  ["a coat is next", OIL, [...flushed, ...of("A/oil-1", [2, "began"])], 3, "Coat on", "Tap when the coat is on."],
  ["the coat soaks in", OIL, [...flushed, ...of("A/oil-1", [2, "began"], [3, "coat-on"])], 4, "Wiped off", ""],
  [
    "it is wiped off",
    OIL,
    [...flushed, ...of("A/oil-1", [2, "began"], [3, "coat-on"], [13, "wiped-off"])],
    14,
    "Finish",
    "Still open: 1 part.",
  ],
])("when %s, the main button says what is next", async (_, path, before, minutes, words, said) => {
  await openPage(before, minutes);
  await show(path);

  expect(wordsAt(".deeds .main")).toEqual([words]);
  expect(hint()).toBe(said);
});

test("what is done leads on to what is next", async () => {
  await openPage(done("rough-out", "A/cut-legs"), 2);
  await show(LEGS);

  expect(hint()).toBe("This is done.");
  expect(mainButton().textContent).toBe("Next: Cut rail, A and B");
  expect(mainButton().getAttribute("href")).toBe("/batch/b%20A%2Fcut-rail%2Cb%20B%2Fcut-rail");
});

test("a spoiled part is made again first", async () => {
  await openPage([...cut, [2, { kind: "spoiled", part: "A/rail" }]], 3);
  await show(GLUE);

  expect(wordsAt(".deeds .main")).toEqual(["To Rail"]);
  expect(mainButton().getAttribute("href")).toBe("/b/b/p/A%2Frail");
});

test("with nothing against it a tap records at once what it says, about all that it concerns", async () => {
  await openPage(glued.slice(0, -1), 5);
  await show(GLUE);
  await tap("Clamped");

  expect(recorded()).toHaveLength(1);
  expect(lastRecorded("clamped")).toMatchObject({
    what: { kind: "clamped", operation: "A/glue" },
    about: ["A/glue", "A/leg-1", "A/leg-2", "A/rail", "A/frame"],
    at: { ms: START + 5 * MINUTE },
  });
  expect(wordsAt(".deeds .main")).toEqual(["Clamps off"]);
});

test.each([
  ["read lately", 60, { celsius: 17, humidity: 55 }],
  ["read more than twelve hours ago", 12 * 60 + 11, { celsius: null, humidity: null }],
])("glue goes on with the air that was %s", async (_, minutes, air) => {
  const mixed = [...cut, ...of("A/glue", [2, "began"], [3, "mixed"])];
  await openPage([...mixed, [10, { kind: "conditions", celsius: 17, humidity: 55 }]], minutes);
  await show(GLUE);
  await tap("Glue on");

  expect(lastRecorded("glue-on").what).toEqual({ kind: "glue-on", operation: "A/glue", ...air });
});

test("before its turn it asks why, records nothing without a reason, and keeps the reason as a note", async () => {
  await openPage([], 1);
  await show(LEGS);
  await tap("Begin");

  expect(wordsAt("dialog[open] h2")).toEqual(["Not yet its turn"]);
  expect(wordsAt("dialog[open] .rows li")).toEqual(["Rough out"]);

  await submit("Begin all the same");

  expect(wordsAt("dialog[open] [role=alert]")).toEqual(["No reason given. Tap one, or write your own."]);
  expect(recorded()).toEqual([]);

  await tap("Done already, not recorded");
  await submit("Begin all the same");
  await vi.waitFor(() => lastRecorded("began"));

  expect(recorded().map(({ what }) => what)).toEqual([
    { kind: "noted", text: "Begun early: Done already, not recorded" },
    { kind: "began", operation: "A/cut-legs" },
  ]);
  expect(wordsAt("dialog[open]")).toEqual([]);
});

test("clamps come off early with a reason, which goes into the log", async () => {
  await openPage(glued, 30);
  await show(GLUE);
  const [main] = buttons(document.querySelector(".deeds") as Element);
  await tap(main ?? "", document.querySelector(".deeds") as Element);

  expect(wordsAt("dialog[open] h2")).toEqual(["Too early for the clamps"]);
  expect(wordsAt("dialog[open] strong")).toEqual([timeOfDay(OFF)]);
  expect(recorded()).toEqual([]);

  await write("Reason", "  It had shifted  ");
  await submit("Take them off all the same");

  expect(lastRecorded("clamps-off").what).toEqual({
    kind: "clamps-off",
    operation: "A/glue",
    reason: "It had shifted",
  });
});

test("what is left can be ticked in the question, and then it is finished", async () => {
  await openPage([...done("rough-out"), ...of("A/cut-legs", [2, "began"])], 3);
  await show(LEGS);
  await tap("Finish");

  expect(wordsAt("dialog[open] header h2")).toEqual(["Something is left"]);

  await tap("Leg 1", dialog());
  await tap("Leg 2", dialog());

  expect(wordsAt("dialog[open] header h2")).toEqual(["Nothing is left"]);

  await tap("Finish", dialog());

  expect(recorded().map(({ what }) => what)).toEqual([
    { kind: "ticked", operation: "A/cut-legs", part: "A/leg-1" },
    { kind: "ticked", operation: "A/cut-legs", part: "A/leg-2" },
    { kind: "finished", operation: "A/cut-legs", reason: "" },
  ]);
});

test("it can be finished as it is, with a reason", async () => {
  await openPage([...done("rough-out"), ...of("A/cut-legs", [2, "began"])], 3);
  await show(LEGS);
  await tap("Finish");
  await tap("Done, not ticked");
  await submit("Finish as it is");

  expect(recorded().map(({ what }) => what)).toEqual([
    { kind: "finished", operation: "A/cut-legs", reason: "Done, not ticked" },
  ]);
});
