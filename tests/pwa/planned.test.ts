import { expect, test } from "vitest";
import { adviceFor } from "../../pwa/src/bench/next.ts";
import { leading, withReasons } from "../../pwa/src/bench/planned.ts";
import type { OpenBuild } from "../../pwa/src/bench/standing.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import { isSameDay } from "../../pwa/src/moments.ts";
import { eveningNow } from "../../pwa/src/screens/plan/evening.tsx";
import type { Bench, Evening, Sheet } from "../../pwa/src/wire.gen.ts";
import { type Brief, bookOf } from "../briefs.ts";
import { at, presented, step } from "./plans.ts";

const finished = (...operations: string[]) =>
  operations.map((operation, n): Brief => [`f${n}`, n + 1, "a", { kind: "finished", operation } as never]);

function build(briefs: readonly Brief[]): OpenBuild {
  const book = bookOf("stand", briefs);
  return { id: "b", sheet: book.started()?.sheet as Sheet, bench: benchOf(book) as Bench };
}

const roughed = build(finished("rough-out"));
const plan = ["rough-out", "B/cut-rail", "A/cut-legs", "A/glue", "B/cut-legs"].map((operation, n) =>
  step(operation, at(5, 9, n), at(5, 9, n + 1), { reason: `Planned ${n}.` }),
);
const today = (ms: number) => isSameDay(ms, at(5, 9));
const led = (open: readonly OpenBuild[], steps = plan) => leading(steps, open, today).map(({ operation }) => operation);

test("the plan ranks what is ready; its reasons hold as far as the bench follows it", () => {
  expect(leading(plan, [roughed], today).map(({ operation, reason }) => [operation, reason])).toEqual([
    ["B/cut-rail", "Planned 1."],
    ["A/cut-legs", "Planned 2."],
    ["B/cut-legs", null],
  ]);
});

test("what is planned for another day is offered for now, without what the plan says of that day", () => {
  const [evening] = leading(plan, [roughed], (ms) => isSameDay(ms, at(4, 21)));

  expect(evening).toEqual({ build: "b", operation: "B/cut-rail", reason: null });
});

test("where the plan has no reason the bench gives its own, or none", () => {
  const silent = plan.map((one) => ({ ...one, reason: "" }));
  const { now } = adviceFor([roughed], [], at(5, 9), { planned: leading(silent, [roughed], today) });

  expect(now.slice(0, 3).map(({ operation }) => operation)).toEqual(["B/cut-rail", "A/cut-legs", "B/cut-legs"]);
  expect(now.map(({ reason }) => reason).filter((reason) => !/^([A-Z].+\.)?$/.test(reason))).toEqual([]);
});

test("what is done by now is passed over", () => {
  expect(led([build(finished("rough-out", "B/cut-rail"))])).toEqual(["A/cut-legs", "B/cut-legs"]);
});

test("a plan that begins with what is not ready here has no reasons that hold", () => {
  const found = leading([step("A/glue", at(5, 9), at(5, 10)), ...plan], [roughed], today);

  expect(new Set(found.map(({ reason }) => reason))).toEqual(new Set([null]));
});

test("a build that is put away no longer counts, nor do clamps to take off", () => {
  const others = [
    { ...step("x", at(5, 9), at(5, 10)), build: "away" },
    step("A/glue", at(5, 9), at(5, 10), { act: "clamps-off" }),
  ];

  expect(led([roughed], [...others, ...plan])).toEqual(["B/cut-rail", "A/cut-legs", "B/cut-legs"]);
  expect(leading([...others, ...plan], [roughed], today)[0]?.reason).toBe("Planned 1.");
});

test("what is in hand already is no step away from the plan", () => {
  const begun = build([...finished("rough-out"), ["t", 9, "a", { kind: "began", operation: "B/cut-rail" } as never]]);

  expect(leading(plan, [begun], today).map(({ reason }) => reason)).toEqual(["Planned 1.", "Planned 2.", null]);
});

test("the bench ranks by the plan first, with its reason, then by itself", () => {
  const { now } = adviceFor([roughed], [], 10, { planned: leading(plan, [roughed], today) });

  expect(now.map(({ operation, reason }) => `${operation}: ${reason}`)).toEqual([
    "B/cut-rail: Planned 1.",
    "A/cut-legs: Planned 2.",
    "B/cut-legs: ",
    "A/cut-rail: ",
  ]);
});

test("what is in hand goes before what is planned", () => {
  const begun = build([...finished("rough-out"), ["t", 9, "a", { kind: "began", operation: "B/cut-legs" } as never]]);
  const { now } = adviceFor([begun], [], 10, { planned: leading(plan, [begun], today) });

  expect(now.map(({ operation }) => operation).slice(0, 2)).toEqual(["B/cut-legs", "B/cut-rail"]);
});

const evening = (operation: string, by: number): Evening => ({
  build: "b",
  operation,
  title: operation,
  by,
  until: at(6, 8),
  reason: "",
});
const toCure = presented(plan, { evening: [evening("A/glue", at(5, 16)), evening("rough-out", at(5, 16))] });
const said = (now: number, dayEnds: number | null) =>
  eveningNow(toCure, [roughed as never], now, dayEnds).map(({ operation }) => operation);

test("in the last three hours what is not begun yet is named, until it is too late", () => {
  expect(said(at(5, 13, 59), at(5, 17))).toEqual([]);
  expect(said(at(5, 14), at(5, 17))).toEqual(["A/glue"]);
  expect(said(at(5, 16, 1), at(5, 17))).toEqual([]);
});

test("where nobody said when the day ends, the plan's hours tell", () => {
  expect(said(at(5, 14), null)).toEqual(["A/glue"]);
  expect(said(at(5, 11), null)).toEqual([]);
});

const ranked = (...names: string[]) =>
  names.map((name) => ({ build: "b", operation: name, reason: `Said of ${name}.` as string | null }));

test("of the phone's own order the server's reasons stand as long as both go together", () => {
  const found = withReasons(ranked("a", "c", "b"), ranked("a", "b", "c"));

  expect(found.map(({ operation, reason }) => [operation, reason])).toEqual([
    ["a", "Said of a."],
    ["c", null],
    ["b", null],
  ]);
});

test("an order that is the server's has all of its reasons", () => {
  expect(withReasons(ranked("a", "b"), ranked("a", "b", "c"))).toEqual(ranked("a", "b"));
});
