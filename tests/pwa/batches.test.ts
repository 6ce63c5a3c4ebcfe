import { expect, test } from "vitest";
import { batchAround, batchMinutes, inBatches, plannedApart } from "../../pwa/src/bench/batches.ts";
import { clocks } from "../../pwa/src/bench/clocks.ts";
import { adviceFor } from "../../pwa/src/bench/next.ts";
import type { OpenBuild } from "../../pwa/src/bench/standing.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import type { Bench, Sheet } from "../../pwa/src/wire.gen.ts";
import { briefAt as at, type Brief, bookOf } from "../briefs.ts";
import { at as moment, step } from "./plans.ts";

const MINUTE = 60_000;

const of = (minutes: number, kind: string, ...operations: string[]) =>
  operations.map((operation) => at(minutes, kind, { operation }));
const done = (minutes: number, ...operations: string[]) => of(minutes, "finished", ...operations);

/** Two stands, A and B; `change` what is to differ in their sheet. */
function build(briefs: readonly Brief[], id = "b", change: (sheet: Sheet) => Sheet = (sheet) => sheet): OpenBuild {
  const book = bookOf("stand", briefs);
  return { id, sheet: change(book.started()?.sheet as Sheet), bench: benchOf(book) as Bench };
}

/** What is for the hands now, and in the wait: the operations of each batch, and its reason. */
function batches(open: readonly OpenBuild[], minutes: number, isApart = () => false) {
  const now = minutes * MINUTE + 1;
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], now).map((clock) => ({ ...clock, build: id })),
  );
  const found = inBatches(adviceFor(open, running, now), open, isApart);
  const told = (all: typeof found.now) =>
    all.map((batch) => `${batch.map((one) => `${one.build} ${one.operation}`).join(", ")}: ${batch[0].reason}`);
  return { now: told(found.now), meanwhile: told(found.meanwhile) };
}

const roughed = done(1, "rough-out");
const cut = [...roughed, ...done(2, "A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail")];

test("the same operation of two pieces is one batch, where the first of it stood", () => {
  expect(batches([build(roughed)], 2).now).toEqual(["b A/cut-legs, b B/cut-legs: ", "b A/cut-rail, b B/cut-rail: "]);
});

test("builds of the same recipe are in it, builds of another are not", () => {
  const own = build(roughed);
  const other = build(roughed, "c", (sheet) => ({ ...sheet, recipe: "other.toml" }));

  expect(batches([own, build(roughed, "c")], 2).now[0]).toMatch(/^b A\/cut-legs, b B\/cut-legs, c A\/cut-legs, c B/);
  expect(batches([own, other], 2).now[0]).toMatch(/^b A\/cut-legs, b B\/cut-legs:/);
});

test("a piece whose station is to be set to something else is not in it", () => {
  const other = build(roughed, "c", (sheet) => ({
    ...sheet,
    setups: sheet.setups.map((setup) => ({
      ...setup,
      set: [{ name: "stop", dim: "length", formula: [400], plan: 400 }],
    })),
  }));

  expect(batches([build(roughed), other], 2).now.map((said) => said.split(":")[0])).toEqual([
    "b A/cut-legs, b B/cut-legs",
    "c A/cut-legs, c B/cut-legs",
    "b A/cut-rail, b B/cut-rail",
    "c A/cut-rail, c B/cut-rail",
  ]);
});

test("a glue-up is in no batch, for each has its own open time", () => {
  expect(batches([build(cut)], 3).now.map((said) => said.split(":")[0])).toEqual(["b A/glue", "b B/glue"]);
});

test("nor is what is kept in a form, dry fits, and what a clock runs for while it is done", () => {
  const changes = [{ held_until: "A/glue" }, { step: "dry-fit" }, { clocks: [{ starts: "began" }] }] as const;
  for (const change of changes) {
    const sheet = build(roughed, "b", (one) => ({
      ...one,
      operations: one.operations.map((op) => (op.name === "cut-legs" ? { ...op, ...(change as object) } : op)),
    }));

    expect(batchAround({ build: "b", operation: "A/cut-legs" }, [sheet])).toEqual([]);
  }
});

test("coats of two pieces are one batch until one is on: then each goes by its own clock", () => {
  const flushed = [...cut, ...done(3, "A/glue", "B/glue", "A/flush", "B/flush")];

  expect(batches([build(flushed)], 4).now[0]).toMatch(/^b A\/oil-1, b B\/oil-1/);
  expect(
    batchAround({ build: "b", operation: "A/oil-1" }, [build([...flushed, ...of(5, "began", "A/oil-1")])]),
  ).toEqual([
    { build: "b", operation: "A/oil-1" },
    { build: "b", operation: "B/oil-1" },
  ]);
  expect(
    batchAround({ build: "b", operation: "B/oil-1" }, [build([...flushed, ...of(5, "coat-on", "A/oil-1")])]),
  ).toEqual([]);
});

test("what is in hand is a batch of its own, and counts the parts of all", () => {
  const inHand = [...roughed, ...of(2, "began", "A/cut-legs", "B/cut-legs")];
  const ticked = [...inHand, at(3, "ticked", { operation: "B/cut-legs", part: "B/leg-1" })];

  expect(batches([build(ticked)], 4).now[0]).toBe("b A/cut-legs, b B/cut-legs: In hand: 3 of 4 parts to go.");
  expect(batches([build([...roughed, ...of(2, "began", "A/cut-legs")])], 4).now.slice(0, 1)).toEqual([
    "b A/cut-legs: In hand: 2 of 2 parts to go.",
  ]);
});

const clamped = [...of(3, "began", "A/glue"), ...of(4, "glue-on", "A/glue"), ...of(9, "clamped", "A/glue")];
const glued = (change?: (sheet: Sheet) => Sheet) =>
  build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), ...clamped], "b", change);

test("a batch that fits into the wait says how long it takes in all", () => {
  // At minute 9 the squeeze-out is 30 min away, and each of these takes 10.
  expect(batches([glued(), build(roughed, "c")], 9)).toEqual({
    now: ["b B/cut-legs, c A/cut-legs, c B/cut-legs: "],
    meanwhile: ["b B/cut-rail, c A/cut-rail, c B/cut-rail: 30 min of work in all."],
  });
});

test("one that does not fit whole is not torn, but offered with what is ready", () => {
  expect(batches([glued(), build(roughed, "c")], 19)).toEqual({
    now: [
      "b B/cut-legs, c A/cut-legs, c B/cut-legs: ",
      "b B/cut-rail, c A/cut-rail, c B/cut-rail: Longer than the 20 min until the squeeze-out can be pared.",
    ],
    meanwhile: [],
  });
});

/** Each setup takes 5 min, which the sheet counts at the first piece alone. */
const withSetups = (sheet: Sheet): Sheet => ({
  ...sheet,
  operations: sheet.operations.map((op) =>
    op.setup && op.piece === "A" ? { ...op, minutes: op.minutes + 5, setup_minutes: 5 } : op,
  ),
});

test("what the station is not set for takes the setting too before it fits", () => {
  // The squeeze-out can be pared at minute 39.
  expect(batches([glued(withSetups)], 24).meanwhile).toEqual(["b B/cut-rail: 15 min of work."]);
  expect(batches([glued(withSetups)], 25)).toMatchObject({ meanwhile: [] });
});

test("and where it is set for it, the setting no longer counts", () => {
  const set = at(10, "set-up", { setup: "square-cut", station: "mitre saw" });
  const standing = build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), ...clamped, set], "b", withSetups);

  // What the saw is set for comes first then; the other cut takes 15 min, of the 10 that are left.
  expect(batches([standing], 29)).toEqual({
    now: [
      "b B/cut-rail: The mitre saw is set for this: 1 part to go.",
      "b B/cut-legs: Longer than the 10 min until the squeeze-out can be pared.",
    ],
    meanwhile: [],
  });
});

test("what the plan keeps apart is in no batch", () => {
  expect(batches([build(roughed)], 2, () => true).now).toHaveLength(4);
});

const A = { build: "b", operation: "A/cut" };
const B = { build: "b", operation: "B/cut" };
const saw = (operation: string, day: number, hour: number, title = "Cut") =>
  step(operation, moment(day, hour), moment(day, hour + 1), { station: "saw", title });
const sameDay = (one: number, other: number) => new Date(one).getDate() === new Date(other).getDate();

test.each<[string, readonly ReturnType<typeof saw>[], boolean]>([
  ["neighbours are together", [saw("A/cut", 5, 9), saw("B/cut", 5, 10)], false],
  ["something at another station is not between", [saw("A/cut", 5, 9), step("x", 1, 2), saw("B/cut", 5, 11)], false],
  ["a third piece is not between", [saw("A/cut", 5, 9), saw("C/cut", 5, 10), saw("B/cut", 5, 11)], false],
  ["something else at the station is", [saw("A/cut", 5, 9), saw("x", 5, 10, "Tenon"), saw("B/cut", 5, 11)], true],
  ["another day is apart", [saw("A/cut", 5, 9), saw("B/cut", 6, 9)], true],
  ["what the plan does not know may go with anything", [saw("A/cut", 5, 9)], false],
])("%s", (_, steps, apart) => {
  expect(plannedApart(steps, sameDay)(A, B)).toBe(apart);
  expect(plannedApart(steps, sameDay)(B, A)).toBe(apart);
});

test("setting up counts once in a batch, and not at all where the station is set for it", () => {
  const both = ["A/cut-legs", "B/cut-legs"].map((operation) => ({ build: "b", operation }));
  const set = [...roughed, at(2, "set-up", { setup: "splay-cut", station: "mitre saw" })];

  expect(batchMinutes(both, [build(roughed, "b", withSetups)])).toBe(25);
  expect(batchMinutes(both.slice(1), [build(roughed, "b", withSetups)])).toBe(15);
  expect(batchMinutes(both, [build(set, "b", withSetups)])).toBe(20);
});
