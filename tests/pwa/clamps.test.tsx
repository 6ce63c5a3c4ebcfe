// @vitest-environment happy-dom
/** Clamps that are out: what cannot begin, what the bench says of it, and what Begin and Glue on ask. */
import { afterEach, expect, test, vi } from "vitest";
import type { What } from "../../pwa/src/bench/book.ts";
import { advice } from "../../pwa/src/live/state.ts";
import { timeOfDay } from "../../pwa/src/moments.ts";
import {
  type Before,
  closePage,
  lastRecorded,
  MINUTE,
  openPage,
  recorded,
  START,
  show,
  submit,
  tap,
  wordsAt,
} from "./page.ts";

const GLUE = "/b/b/o/B%2Fglue";
const done = (...operations: string[]): Before[] => operations.map((operation) => [1, { kind: "finished", operation }]);
const of = (operation: string, ...marks: readonly (readonly [number, string])[]): Before[] =>
  marks.map(([minutes, kind]) => [minutes, { kind, operation } as What]);
const counted = (clamps: Record<string, number>): Before => [0, { kind: "kept", setting: "clamps", value: clamps }];

/** Both pieces are cut; each glue-up takes two heavy F clamps. */
const cut = done("rough-out", "A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail");
const clamped = of("A/glue", [2, "began"], [4, "glue-on"], [9, "clamped"], [9, "pared"]);
/** When the clamps of the first may come off. */
const OFF = timeOfDay(START + 69 * MINUTE);

const section = (title: string) =>
  [...document.querySelectorAll("section.block")].find((one) => one.querySelector("h2")?.textContent === title);
const rows = (title: string) => [...(section(title)?.querySelectorAll(".row") ?? [])].map((row) => row.textContent);
const blocked = () => advice.value.blocked.map(({ operation }) => operation);

afterEach(closePage);

test.each<[string, Record<string, number>, readonly Before[], readonly string[]]>([
  ["there are enough for both", { "heavy F": 4 }, clamped, []],
  ["one is missing", { "heavy F": 3 }, clamped, ["B/glue"]],
  ["another kind is short", { "light F": 0 }, clamped, []],
  ["nobody has counted them", {}, clamped, []],
  ["the first has only begun", { "heavy F": 3 }, of("A/glue", [2, "began"]), ["B/glue"]],
  ["the first is out of them", { "heavy F": 3 }, [...clamped, ...of("A/glue", [70, "clamps-off"])], []],
  ["the shop never has as many", { "heavy F": 1 }, [], []],
  ["the shop never has as many, and those are out", { "heavy F": 1 }, clamped, ["B/glue"]],
])("what waits for clamps when %s", async (_, clamps, before, waiting) => {
  await openPage([...cut, counted(clamps), ...before], 80);

  expect(blocked()).toEqual(waiting);
});

test("clamps out in another spelling are the same clamps", async () => {
  await openPage([...cut, counted({ "Heavy f": 3 }), ...clamped], 30);

  expect(blocked()).toEqual(["B/glue"]);
});

test("the bench says how many are out and when the next come back, and what waits for them", async () => {
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped], 30);
  await show("/");

  expect(rows("Waiting for clamps")).toEqual([
    `Heavy F clamps2 of 3 out, next free ${OFF}`,
    `Piece B GlueTakes 2. Enough at ${OFF}.`,
  ]);
  expect(wordsAt(".first-choice strong")).not.toContain("Piece B Glue");
});

test("it says nothing of clamps while enough are left for what is to come", async () => {
  await openPage([...cut, counted({ "heavy F": 4 }), ...clamped], 30);
  await show("/");

  expect(section("Waiting for clamps") ?? section("Clamps")).toBeUndefined();
});

test("hardly any left for what is still to come are told before anything waits for them", async () => {
  const early = cut.filter(([, what]) => !("operation" in what && what.operation === "B/cut-rail"));
  await openPage([...early, counted({ "heavy F": 2 }), ...clamped], 30);
  await show("/");

  expect(rows("Clamps")).toEqual([`Heavy F clamps2 of 2 out, next free ${OFF}`]);
});

test("once they may come off, that is said instead of a time", async () => {
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped], 80);
  await show("/");

  expect(rows("Waiting for clamps")[0]).toBe("Heavy F clamps2 of 3 out, the next may come off now");
});

test("Begin asks with what is short, and keeps the answer as a note", async () => {
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped], 30);
  await show(GLUE);

  expect(wordsAt(".status-line strong")).toEqual(["Waits for clamps"]);
  expect(wordsAt(".deeds .hint")[0]).toBe(`It takes 2 heavy F clamps, and 1 of 3 is free. Enough at ${OFF}.`);

  await tap("Begin");

  expect(wordsAt("dialog[open] h2")).toEqual(["Not enough clamps"]);
  expect(wordsAt("dialog[open] .row")).toEqual([`Glue, piece A2, until ${OFF}`]);

  await tap("Borrowed some");
  await submit("Begin with other clamps");
  await vi.waitFor(() => lastRecorded("began"));

  expect(recorded().map(({ what }) => what)).toEqual([
    { kind: "noted", text: "Too few clamps: Borrowed some" },
    { kind: "began", operation: "B/glue" },
  ]);
});

test("the shop that never has as many is asked too, with no time to wait for", async () => {
  await openPage([...cut, counted({ "heavy F": 1 })], 30);
  await show(GLUE);

  expect(wordsAt(".status-line strong")).toEqual(["Ready"]);
  expect(wordsAt(".deeds .hint")[0]).toBe("It takes 2 heavy F clamps, and 1 of 1 is free.");
});

test("Glue on does not ask again for what was answered at Begin", async () => {
  const begun = of("B/glue", [20, "began"], [21, "mixed"]);
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped, ...begun], 30);
  await show(GLUE);
  await tap("Glue on");

  expect(recorded().map(({ what }) => what?.kind)).toEqual(["glue-on"]);
});

test("but it asks where something has taken clamps since", async () => {
  const begun = of("B/glue", [1, "began"], [1, "mixed"]);
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped, ...begun], 30);
  await show(GLUE);
  await tap("Glue on");

  expect(wordsAt("dialog[open] h2")).toEqual(["Not enough clamps"]);
  expect(recorded()).toEqual([]);

  await tap("Other clamps will do");
  await submit("Glue with other clamps");
  await vi.waitFor(() => lastRecorded("glue-on"));

  expect(recorded().map(({ what }) => what?.kind)).toEqual(["noted", "glue-on"]);
});

test("cold air and too few clamps are asked one after the other, and both answers are kept", async () => {
  const cold: Before = [28, { kind: "conditions", celsius: 2, humidity: 50 }];
  await openPage([...cut, counted({ "heavy F": 3 }), ...clamped, cold], 30);
  await show(GLUE);
  await tap("Begin");
  await tap("Borrowed some");
  await submit("Begin with other clamps");

  expect(wordsAt("dialog[open] h2")).toEqual(["Too cold for this glue"]);
  expect(recorded()).toEqual([]);

  await tap("Wood and glue are warm");
  await submit("Go on all the same");
  await vi.waitFor(() => lastRecorded("began"));

  expect(recorded().map(({ what }) => what)).toEqual([
    { kind: "noted", text: "Too few clamps: Borrowed some" },
    { kind: "noted", text: "Too cold for the glue: Wood and glue are warm" },
    { kind: "began", operation: "B/glue" },
  ]);
});
