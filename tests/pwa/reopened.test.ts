import { expect, test } from "vitest";
import { adviceFor } from "../../pwa/src/bench/next.ts";
import { leftAlone } from "../../pwa/src/bench/reopened.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import type { Bench, Sheet, Started } from "../../pwa/src/wire.gen.ts";
import { briefAt as at, type Brief, bookOf } from "../briefs.ts";
import startedText from "../vectors/stand/started.json?raw";

const MINUTE = 60_000;

const done = (minutes: number, operation: string) => at(minutes, "finished", { operation });
const roughed = done(1, "rough-out");
const spoiled = (part: string) => at(2, "spoiled", { part, reason: "Tear-out or split" });
const again = (part: string) => at(3, "remade", { part, code: "0000-0000" });

const started: Started = JSON.parse(startedText);

/** All parts of both pieces are roughed out together. */
const together = (sheet: Sheet): Sheet => ({
  ...sheet,
  operations: sheet.operations.map((op) =>
    op.id === "rough-out" ? { ...op, parts: sheet.parts.map(({ id }) => id) } : op,
  ),
});

/** Two stands, and the bench of these happenings; `change` what else is to differ in their sheet. */
function bench(briefs: readonly Brief[], change: (sheet: Sheet) => Sheet = (sheet) => sheet) {
  const sheet = change(together(started.sheet));
  const book = bookOf(null, [["start", 0, "0", { ...started, sheet } as never], ...briefs]);
  const own = benchOf(book) as Bench;
  return { id: "b", sheet, own, bench: leftAlone(sheet, own) };
}

const ready = ({ operations }: Bench) => Object.keys(operations).filter((id) => operations[id]?.status === "ready");

test("what was spoiled keeps only the work on itself, and what goes with it", () => {
  const found = bench([roughed, spoiled("A/rail")]);

  expect(ready(found.own)).toEqual([]);
  expect(ready(found.bench)).toEqual(["A/cut-legs", "B/cut-legs", "B/cut-rail"]);
  expect(found.bench.operations["A/cut-rail"]?.status).toBe("spoiled");
  expect(found.bench.operations["A/cut-legs"]?.waits_for).toEqual([]);
});

test("nor does the rest wait while it is made again, which comes first", () => {
  const found = bench([roughed, spoiled("A/rail"), again("A/rail")]);

  expect(ready(found.bench)).toEqual(["rough-out", "A/cut-legs", "B/cut-legs", "B/cut-rail"]);
  expect(found.bench.operations["A/cut-rail"]).toMatchObject({ status: "waiting", waits_for: ["rough-out"] });
  expect(adviceFor([found], [], 4 * MINUTE).now[0]).toEqual({
    ...{ build: "b", operation: "rough-out" },
    reason: "Once more, for what is made again: Rail.",
  });
  expect(
    ready(bench([roughed, spoiled("A/rail"), again("A/rail"), at(4, "began", { operation: "rough-out" })]).bench),
  ).toEqual(["A/cut-legs", "B/cut-legs", "B/cut-rail"]);
});

test("what is open for its own sake is waited for as ever", () => {
  const ticked = bench([at(1, "ticked", { operation: "rough-out", part: "B/rail" })]);

  expect(ticked.bench).toEqual(ticked.own);
  expect(bench([]).bench).toEqual(bench([]).own);
});

test("a part that all pieces share is waited for by all", () => {
  const share = (sheet: Sheet) => ({
    ...sheet,
    parts: sheet.parts.map((part) => (part.id === "A/rail" ? { ...part, piece: "" } : part)),
  });

  expect(ready(bench([roughed, spoiled("A/rail")], share).bench)).toEqual([]);
});

test("what stands in a form waits for the form", () => {
  const inForm = (sheet: Sheet) => ({
    ...sheet,
    fixtures: [{ id: "form", piece: "", name: "form", title: "Form", of: ["A/rail"], owned: "", about: "" }],
    operations: sheet.operations.map((op) => (op.id === "B/cut-legs" ? { ...op, fixtures: { form: 1 } } : op)),
  });

  expect(ready(bench([roughed, spoiled("A/rail")], inForm).bench)).toEqual(["A/cut-legs", "B/cut-rail"]);
});
