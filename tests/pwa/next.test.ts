import { expect, test } from "vitest";
import { clocks } from "../../pwa/src/bench/clocks.ts";
import { type Advice, adviceFor } from "../../pwa/src/bench/next.ts";
import type { OpenBuild } from "../../pwa/src/bench/standing.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import type { Bench, Sheet } from "../../pwa/src/wire.gen.ts";
import { briefAt as at, type Brief, bookOf } from "../briefs.ts";

const MINUTE = 60_000;

const done = (minutes: number, ...operations: string[]) =>
  operations.map((operation) => at(minutes, "finished", { operation }));

function build(briefs: readonly Brief[], id = "b"): OpenBuild {
  const book = bookOf("stand", briefs);
  return { id, sheet: book.started()?.sheet as Sheet, bench: benchOf(book) as Bench };
}

/** The advice so many minutes after the start; dayEnds: minutes after the start too. */
function advice(open: readonly OpenBuild[], minutes: number, dayEnds: number | null = null): Advice {
  const now = minutes * MINUTE + 1;
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], now).map((clock) => ({ ...clock, build: id })),
  );
  return adviceFor(open, running, now, { dayEnds: dayEnds === null ? null : dayEnds * MINUTE + 1 });
}

const said = (choices: Advice["now"]) =>
  choices.map(({ operation, reason }) => (reason ? `${operation}: ${reason}` : operation));

const up = (minutes: number, setup: string, station: string) => at(minutes, "set-up", { setup, station });
const roughed = done(1, "rough-out");
const cut = [...roughed, ...done(2, "A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail")];

test("at the start there is one thing to do", () => {
  expect(said(advice([build([])], 0).now)).toEqual(["rough-out"]);
});

test("the longest way to go comes first, pieces in order", () => {
  expect(said(advice([build(roughed)], 2).now)).toEqual(["A/cut-legs", "A/cut-rail", "B/cut-legs", "B/cut-rail"]);
});

test("and says so where all others are an hour shorter or more", () => {
  const stands = build([...roughed, ...done(3, "A/cut-legs", "A/cut-rail", "A/glue", "B/cut-rail")]);

  // By hand: 10 to cut, 20 to glue, 12 h rest from the clamping, 15 to flush, 10 to oil, 6 h, 10 to oil.
  expect(said(advice([stands], 4).now)).toEqual([
    "B/cut-legs: The longest way to go begins here: about 19 h with its waits.",
    "A/flush",
  ]);
});

test("and is silent where another one is as long", () => {
  const stands = build([...roughed, ...done(3, "A/cut-legs", "A/cut-rail", "A/glue")]);

  expect(said(advice([stands], 4).now)).toEqual(["B/cut-legs", "B/cut-rail", "A/flush"]);
});

test("a long wait that it starts is told", () => {
  const stands = build([...cut, ...done(3, "A/glue", "A/flush")]);

  expect(said(advice([stands], 4).now)).toEqual([
    "B/glue: Starts a 12 h wait: other work fits into it.",
    "A/oil-1: Starts a 6 h wait: other work fits into it.",
  ]);
});

test("what a standing setup serves comes before what would break it", () => {
  const { now, standing } = advice([build([...roughed, up(1, "square-cut", "mitre saw")])], 2);

  expect(said(now)).toEqual([
    "A/cut-rail: The mitre saw is set for this: 2 parts to go.",
    "B/cut-rail: The mitre saw is set for this: 2 parts to go.",
    "A/cut-legs: Changes the mitre saw, set for “Cut rail”.",
    "B/cut-legs: Changes the mitre saw, set for “Cut rail”.",
  ]);
  expect(standing).toEqual([
    {
      build: "b",
      station: "mitre saw",
      setup: "square-cut",
      left: 2,
      run: 0,
      reason: "Leave the mitre saw as it is: 2 parts to go.",
    },
  ]);
});

test("same setup as the last ones", () => {
  const open = [
    build([...roughed, up(1, "splay-cut", "mitre saw"), ...done(2, "A/cut-legs", "B/cut-legs")]),
    build(roughed, "c"),
  ];

  expect(said(advice(open, 3).now)[0]).toBe("A/cut-legs: Same setup at the mitre saw as the last 2: 4 parts to go.");
});

test("a setup that nothing needs any more is free", () => {
  const { standing, now } = advice([build([...cut, up(3, "splay-cut", "mitre saw")])], 3);

  expect(standing[0]?.reason).toBe("Nothing needs it any more: the mitre saw may be set for something else.");
  expect(said(now)[0]).toBe("A/glue: Starts a 12 h wait: other work fits into it.");
});

test("the same work without a named setup on the next piece uses what stands, and it is no standing setup", () => {
  const one = build(roughed);
  const unnamed = one.sheet.operations.map((op) => (op.name === "cut-legs" ? { ...op, setup: null } : op));
  const begun = build([...roughed, at(2, "began", { operation: "A/cut-legs" }), ...done(3, "A/cut-legs")]);
  const { now, standing } = advice([{ ...begun, sheet: { ...begun.sheet, operations: unnamed } }], 4);

  expect(said(now)[0]).toBe("B/cut-legs: The mitre saw is set for this: 2 parts to go.");
  expect(standing).toEqual([]);
});

test("work that was done there since takes a standing setup away, named or not", () => {
  const set = [...roughed, up(2, "square-cut", "mitre saw")];
  const overtaken = build([...set, ...done(3, "A/cut-legs")]);

  expect(advice([build(set)], 4).standing).toHaveLength(1);
  expect(advice([overtaken], 4).standing).toEqual([]);
  expect(said(advice([overtaken], 4).now)).not.toContain("A/cut-rail: The mitre saw is set for this: 2 parts to go.");
});

test("what fits into a wait overnight is no work for meanwhile", () => {
  const glued = [at(4, "clamped", { operation: "A/glue" }), at(65, "clamps-off", { operation: "A/glue" })];
  const open = [
    build([
      ...cut.filter(([, , , what]) => !`${what && "operation" in what && what.operation}`.startsWith("B/")),
      ...glued,
      ...done(66, "A/glue"),
    ]),
  ];
  const { now, meanwhile, wait } = advice(open, 70);

  expect(now.map(({ operation }) => operation)).toEqual(["B/cut-legs", "B/cut-rail"]);
  expect([meanwhile, wait]).toEqual([[], null]);
});

test("what others have in hand is not asked of these hands, and what needs their station comes last", () => {
  const open = [
    build([...roughed, at(2, "began", { operation: "A/cut-legs" }), ...done(2, "B/cut-legs", "B/cut-rail")]),
  ];
  const found = adviceFor(open, [], 3 * MINUTE, { others: new Set(["b A/cut-legs"]) });

  expect(said(found.now)).toEqual([
    "B/glue: Starts a 12 h wait: other work fits into it.",
    "A/cut-rail: Somebody is at the mitre saw: “Cut legs”.",
  ]);
  expect(said(found.elsewhere)).toEqual(["A/cut-legs: Begun or ticked last on another phone."]);
});

test("of two builds the setup put up last stands", () => {
  const open = [
    build([...roughed, up(1, "splay-cut", "mitre saw")]),
    build([...roughed, up(2, "square-cut", "mitre saw")], "c"),
  ];

  expect(advice(open, 3).standing.map(({ build: of, setup }) => [of, setup])).toEqual([["c", "square-cut"]]);
});

test("what starts a wait for the night comes before the day ends", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail")])];

  expect(said(advice(open, 3, 120).now)[0]).toBe("A/glue: Starts a 12 h wait: it can set overnight.");
});

test("a standing setup goes first while there is time for both, and the glue-up first when there is not", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), up(2, "splay-cut", "mitre saw")])];

  expect(advice(open, 3, 120).now[0]?.operation).toBe("B/cut-legs");
  expect(advice(open, 3, 50).now[0]?.operation).toBe("A/glue");
});

test("what cannot be done before the day ends is not for the night", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), up(2, "splay-cut", "mitre saw")])];

  expect(advice(open, 3, 15).now[0]?.operation).toBe("B/cut-legs");
});

test("what fits before a clock is due comes before what does not", () => {
  const open = [build([...cut, at(3, "glue-on", { operation: "A/glue" }), at(4, "clamped", { operation: "A/glue" })])];
  const { now, meanwhile } = advice(open, 10);

  expect(said(now)).toEqual(["B/glue"]);
  expect(said(meanwhile)).toEqual([]);
  expect(said(advice(open, 20).now)).toEqual(["B/glue: Longer than the 14 min until the squeeze-out can be pared."]);
});

test("while it sets: what else fits into the shortest wait, with its minutes", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), at(4, "clamped", { operation: "A/glue" })])];
  const { now, meanwhile, wait } = advice(open, 10);

  expect(said(now)).toEqual(["B/cut-legs"]);
  expect(said(meanwhile)).toEqual(["B/cut-rail: 10 min of work."]);
  expect(wait).toEqual({ minutes: 24, until: "the squeeze-out can be pared" });
});

test("what fits to the minute fits", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), at(4, "clamped", { operation: "A/glue" })])];

  expect(said(advice(open, 24).meanwhile)).toEqual(["B/cut-rail: 10 min of work."]);
  expect(said(advice(open, 25).meanwhile)).toEqual([]);
});

test("a clock that is due in half an hour makes longer work wait, one that is due later does not", () => {
  const clamped = [at(4, "clamped", { operation: "A/glue" }), at(5, "pared", { operation: "A/glue" })];
  const one = build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), ...clamped]);
  const slow = one.sheet.operations.map((op) => (op.id === "B/cut-legs" ? { ...op, minutes: 40 } : op));
  const open = [{ ...one, sheet: { ...one.sheet, operations: slow } }];

  // In clamps for an hour from minute 4 on.
  expect(advice(open, 33).now[0]?.operation).toBe("B/cut-legs");
  expect(advice(open, 34).now.map(({ operation }) => operation)).toEqual(["B/cut-rail", "B/cut-legs"]);
});

test("what is to stand overnight is begun half an hour before it must be", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), up(2, "splay-cut", "mitre saw")])];

  // By hand: 20 min to glue, and half an hour.
  expect(advice(open, 3, 53).now[0]?.operation).toBe("A/glue");
  expect(advice(open, 3, 54).now[0]?.operation).toBe("B/cut-legs");
});

test("oily rags that wait do not free the hands from what is in hand", () => {
  const coated = [at(4, "coat-on", { operation: "A/oil-1" }), at(6, "wiped-off", { operation: "A/oil-1" })];
  const open = [build([...cut, ...done(3, "A/glue", "A/flush"), ...coated])];
  const { now } = advice(open, 7);

  expect(now.map(({ operation }) => operation)).not.toContain("A/oil-1"); // its recoat time runs
  const rags = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], 7 * MINUTE)
      .filter(({ kind }) => kind === "rags")
      .map((clock) => ({ ...clock, build: id })),
  );
  expect(said(adviceFor(open, rags, 7 * MINUTE).now)[0]).toBe("A/oil-1: In hand: finish it first.");
});

test("what a clock asks for comes first", () => {
  const open = [build([...cut, at(4, "clamped", { operation: "A/glue" })])];

  expect(said(advice(open, 34).now)[0]).toBe("A/glue: The squeeze-out is ready to pare.");
  expect(said(advice(open, 64).now)[0]).toBe("A/glue: The clamps may come off.");
});

test("open time that runs goes before everything", () => {
  const open = [build([...cut, at(4, "glue-on", { operation: "B/glue" })])];

  expect(said(advice(open, 5).now)).toEqual([
    "B/glue: Open time runs: bring the faces together, then draw them tight.",
    "A/glue",
  ]);
});

test.each([
  ["as long as it runs", 34, "Open time runs: bring the faces together, then draw them tight."],
  [
    "and when it is over",
    46,
    "Open time is over: clamp it now if the glue still wets, else take it apart, clean it and glue again; the label first.",
  ],
])("open glue in hand comes before squeeze-out that became ready, %s", (_, minutes, reason) => {
  // A's squeeze-out is ready 30 min after its clamping; B's open time of 8 min is over at minute 38.
  const set = [at(4, "glue-on", { operation: "A/glue" }), at(4, "clamped", { operation: "A/glue" })];
  const open = [
    build([...cut, ...set, at(30, "began", { operation: "B/glue" }), at(30, "glue-on", { operation: "B/glue" })]),
  ];

  expect(said(advice(open, minutes).now)).toEqual([`B/glue: ${reason}`, "A/glue: The squeeze-out is ready to pare."]);
});

test("glue that is open in other hands leaves the squeeze-out to these", () => {
  const set = [at(4, "glue-on", { operation: "A/glue" }), at(4, "clamped", { operation: "A/glue" })];
  const open = [build([...cut, ...set, at(30, "glue-on", { operation: "B/glue" })])];
  const now = 34 * MINUTE + 1;
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], now).map((clock) => ({ ...clock, build: id })),
  );

  expect(said(adviceFor(open, running, now, { others: new Set(["b B/glue"]) }).now)).toEqual([
    "A/glue: The squeeze-out is ready to pare.",
  ]);
});

test("what is in hand is finished first", () => {
  const open = [build([...roughed, at(2, "ticked", { operation: "B/cut-legs", part: "B/leg-1" })])];

  expect(said(advice(open, 3).now)[0]).toBe("B/cut-legs: In hand: 1 of 2 parts to go.");
});

test("but not while it is left to itself", () => {
  const open = [build([...cut, at(4, "coat-on", { operation: "A/oil-1" })])];

  expect(advice(open, 5).now.map(({ operation }) => operation)).not.toContain("A/oil-1");
  expect(said(advice(open, 14).now)[0]).toBe("A/oil-1: The surplus is ready to wipe off.");
});

test("rags that lie about are asked for until they are safe", () => {
  const coated = [
    at(4, "coat-on", { operation: "A/oil-1" }),
    at(15, "wiped-off", { operation: "A/oil-1" }),
    ...done(16, "A/oil-1"),
  ];

  expect(said(advice([build([...cut, ...coated])], 30).now)[0]).toBe(
    "A/oil-1: The oily rags still have to be made safe.",
  );
  expect(
    said(advice([build([...cut, ...coated, at(29, "rags-safe", { operation: "A/oil-1" })])], 30).now)[0],
  ).not.toContain("rags");
});

test("what must rest is not offered", () => {
  const glued = [at(4, "clamped", { operation: "A/glue" }), at(70, "clamps-off", { operation: "A/glue" })];
  const open = [build([...cut, ...glued, ...done(71, "A/glue", "B/glue")])];

  expect(advice(open, 80).now.map(({ operation }) => operation)).toEqual(["B/flush"]);
  expect(advice(open, 4 + 12 * 60).now.map(({ operation }) => operation)).toEqual(["A/flush", "B/flush"]);
});

test("a wait that was too cold promises nothing", () => {
  const open = [build([...roughed, ...done(2, "A/cut-legs", "A/cut-rail"), at(4, "clamped", { operation: "A/glue" })])];
  const now = 10 * MINUTE;
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [{ ms: MINUTE, celsius: 3 }], now)
      .filter(({ kind }) => kind === "in-clamps")
      .map((clock) => ({ ...clock, build: id })),
  );

  expect(adviceFor(open, running, now).meanwhile).toEqual([]);
});

test("nothing open, nothing to say", () => {
  expect(advice([], 0)).toEqual({
    again: [],
    now: [],
    meanwhile: [],
    wait: null,
    elsewhere: [],
    blocked: [],
    clamps: [],
    standing: [],
  });
});

test("every sentence ends like one, and no operation stands twice", () => {
  const open = [build([...cut, at(4, "clamped", { operation: "A/glue" })]), build(roughed, "c")];
  for (const minutes of [5, 20, 34, 64, 13 * 60]) {
    const { now, meanwhile, standing } = advice(open, minutes, minutes + 90);
    const all = [...now, ...meanwhile];

    expect(new Set(all.map((one) => `${one.build} ${one.operation}`)).size).toBe(all.length);
    for (const { reason } of [...all, ...standing]) expect(reason).toMatch(/^([A-Z0-9].*\.)?$/);
  }
});
