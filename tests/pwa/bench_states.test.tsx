// @vitest-environment happy-dom
/** What the bench says when something is spoiled, when nothing is ready, and when nobody is supposed to be here. */
import { render } from "preact";
import { afterEach, expect, test } from "vitest";
import type { What } from "../../pwa/src/bench/book.ts";
import { session } from "../../pwa/src/live/session.ts";
import { interrupting, ringing, shop } from "../../pwa/src/live/state.ts";
import { clockTime } from "../../pwa/src/moments.ts";
import { peopleIn } from "../../pwa/src/phone/people.ts";
import { Choices } from "../../pwa/src/screens/bench/choices.tsx";
import {
  type Before,
  closePage,
  dialog,
  lastRecorded,
  MINUTE,
  openPage,
  START,
  show,
  started,
  tap,
  wordsAt,
  write,
} from "./page.ts";

const done = (...operations: string[]): Before[] => operations.map((operation) => [1, { kind: "finished", operation }]);
const mark = (minutes: number, kind: string, operation: string): Before => [minutes, { kind, operation } as What];
const spoiled = (part: string): Before => [3, { kind: "spoiled", part, reason: "Tear-out or split" }];
const ALL = started.sheet.operations.map(({ id }) => id);
const cut = done("rough-out", "A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail");

const now = () => wordsAt("section.block:has(h2) > p")[0];
const notices = () => wordsAt(".notice.grave p");

afterEach(closePage);

test("a spoiled part stands at the top, with how much waits for it, and is begun again with a tap", async () => {
  await openPage([...cut, spoiled("A/rail")], 4);
  await show("/");

  expect(notices()).toEqual(["Rail, piece A is spoiled. Make it again first.", "5 operations wait for it."]);

  await tap("Make it again");

  expect(lastRecorded("remade").what).toMatchObject({ kind: "remade", part: "A/rail" });
  await show("/");
  expect(notices()).toEqual([]);
});

test("an assembly that is spoiled is made again as a whole, and not part by part", async () => {
  await openPage([...cut, ...done("A/glue"), spoiled("A/frame")], 4);
  await show("/");

  expect(notices()[0]).toBe("Frame, piece A is spoiled. Make it again first.");
  expect(notices()).toHaveLength(2);
});

test("where nothing else can be done, the bench says so and not to wait for clocks", async () => {
  await openPage(
    [
      ...ALL.filter((id) => id.startsWith("B/")).flatMap((id) => done(id)),
      spoiled("A/leg-1"),
      spoiled("A/rail"),
      ...done("rough-out"),
    ],
    4,
  );
  await show("/");

  expect(now()).toBe("Nothing else can be done before that is made again.");
});

test("a reason that all choices have is said once, and one of several at its own", async () => {
  await openPage(cut, 4);
  const saidOf = (...reasons: readonly string[]) => {
    const all = ["A/glue", "B/glue"].map(
      (operation, n) => [{ build: "b", operation, reason: reasons[n] ?? "" }] as const,
    );
    const room = document.createElement("div");
    render(<Choices title="Ready too" batches={all} />, room);
    return [...room.querySelectorAll("p.hint, small")].map(({ textContent }) => textContent);
  };

  expect(saidOf("Too long.", "Too long.")).toEqual(["Too long."]);
  expect(saidOf("Too long.", "It waits.")).toEqual(["Too long.", "It waits."]);
  expect(saidOf("", "It waits.")).toEqual(["It waits."]);
});

test("a wait is named with its end", async () => {
  const glued = [mark(4, "clamped", "A/glue"), mark(4, "pared", "A/glue"), mark(65, "clamps-off", "A/glue")];
  await openPage(
    [...cut, ...glued, ...done("A/glue"), ...ALL.filter((id) => id.startsWith("B/")).flatMap((id) => done(id))],
    70,
  );
  await show("/");

  expect(now()).toBe(
    `Nothing is ready before ${clockTime(START + (4 + 12 * 60) * MINUTE, START + 70 * MINUTE)}: “Glue, piece A”, until the rest is over.`,
  );
});

test("when all is done nothing is left", async () => {
  await openPage(done(...ALL), 4);
  await show("/");

  expect(wordsAt(".notice strong")).toEqual(["Nothing is left: every build is finished."]);
});

test("with no build at all there is none open", async () => {
  await openPage([[1, { kind: "closed", closed: true }]], 4);
  await show("/");

  expect(wordsAt(".notice strong")).toEqual(["No build is open."]);
});

test.each([
  ["within the shop's hours", "00:00-23:59", "For your hands now"],
  ["outside of them", "00:00-00:01", "Next"],
])("%s, what to do is for now", async (_, hours, title) => {
  await openPage([...cut, [0, { kind: "kept", setting: "hours", value: hours }]], 4);
  await show("/");

  expect(wordsAt("section.block h2")[0]).toBe(title);
  expect(wordsAt(".first-choice strong")).toEqual(["Piece A Glue"]);
});

test("a setup over which other work was done since is to be set again", async () => {
  const set: Before = [2, { kind: "set-up", setup: "square-cut", station: "mitre saw", proved: true }];
  await openPage([...done("rough-out"), set, mark(3, "began", "A/cut-legs"), mark(4, "finished", "A/cut-legs")], 5);
  await show("/b/b/o/A%2Fcut-rail");

  expect(wordsAt(".stands")[0]).toMatch(/^Set at .*, but other work was done there since: set and prove it again\.$/);
  expect(wordsAt(".setup button")).toEqual(["Write down as set"]);
});

test.each([
  ["alone, what was begun on another device is carried on here", [{ name: "Ada" }], "Piece A Cut legs"],
  ["with others it is theirs", [{ name: "Ada" }, { name: "Ben" }], "Piece B Cut legs"],
])("%s", async (_, people, first) => {
  const before: Before[] = [...done("rough-out"), [0, { kind: "kept", setting: "people", value: people }]];
  await openPage(before, 4);
  const theirs = { id: "0190-theirs", n: 1, at: { ms: START + 3 * MINUTE, counter: 0, device: "b".repeat(16) } };
  session()?.show([{ ...theirs, build: "b", about: [], what: { kind: "began", operation: "A/cut-legs" } as What }]);
  await show("/");

  expect(wordsAt(".first-choice strong")).toEqual([first]);
});

test("open glue is first until it is clamped, and its clock alone interrupts", async () => {
  const glueOn = [mark(2, "glue-on", "A/glue"), mark(3, "clamped", "A/glue"), mark(30, "glue-on", "B/glue")];
  await openPage([...cut, ...glueOn, [0, { kind: "kept", setting: "hours", value: "00:00-23:59" }]], 34);
  await show("/");

  expect(wordsAt(".first-choice strong")).toEqual(["Piece B Glue"]);
  expect(ringing.value.map(({ kind }) => kind)).toContain("squeeze-out");
  expect(interrupting.value.map(({ kind }) => kind)).toEqual(["open"]);
});

test("what else is in hand has a heading of its own", async () => {
  await openPage([...done("rough-out"), mark(2, "began", "A/cut-legs"), mark(2, "began", "A/cut-rail")], 3);
  await show("/");

  expect(wordsAt("section.block h2").slice(0, 3)).toEqual([expect.any(String), "In hand", "Ready too"]);
});

test("that a reason is needed stands there before the tap", async () => {
  await openPage(cut, 4);
  await show("/b/b/p/A%2Frail");
  await tap("Spoiled");

  expect(dialog().textContent).toContain("A reason is needed: tap one, or write your own.");
});

test("two names with a comma are two people", async () => {
  await openPage([], 1);
  await show("/shop");
  await write("Who works here", "Anna, Ben");
  await tap("Add Anna and Ben");

  expect(peopleIn(shop.value.settings.people).map(({ name }) => name)).toEqual(["Anna", "Ben"]);
});
