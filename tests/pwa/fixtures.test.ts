/** What is blocked by a fixture, by what, and until when. */
import { expect, test } from "vitest";
import { clocks } from "../../pwa/src/bench/clocks.ts";
import { type Advice, adviceFor } from "../../pwa/src/bench/next.ts";
import type { OpenBuild } from "../../pwa/src/bench/standing.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import { takenSentence } from "../../pwa/src/screens/words/fixtures.ts";
import type { Bench, Sheet } from "../../pwa/src/wire.gen.ts";
import { type Brief, bookOf } from "../briefs.ts";

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const at = (minutes: number, kind: string, operation: string): Brief => [
  `${kind} ${operation}`,
  minutes * MINUTE,
  "a",
  { kind, operation, ...(kind === "clamps-off" ? { reason: "" } : {}) } as never,
];
const finished = (...operations: string[]) => operations.map((operation) => at(1, "finished", operation));
const READY = finished("saw-form", "A/rehearse", "B/rehearse");

/** owned: the press is the shop's, and its name there. */
function bow(briefs: readonly Brief[], id = "b", owned = ""): OpenBuild {
  const book = bookOf("bow", briefs);
  const sheet = book.started()?.sheet as Sheet;
  const fixtures = (sheet.fixtures ?? []).map((one) => (owned ? { ...one, of: [], owned } : one));
  return { id, sheet: { ...sheet, fixtures }, bench: benchOf(book) as Bench };
}

function advice(open: readonly OpenBuild[], now: number, counted: Readonly<Record<string, number>> = {}): Advice {
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], now).map((clock) => ({ ...clock, build: id })),
  );
  return adviceFor(open, running, now, { fixtures: counted });
}

const named = (list: Advice["now"] | Advice["blocked"]) => list.map(({ build, operation }) => `${build} ${operation}`);
const taken = (found: Advice) => found.blocked.flatMap(({ by }) => ("taken" in by ? [by.taken] : []));
const said = (found: Advice, now: number) => taken(found).map((one) => takenSentence(one, now));

test("while the form is free, both bows may be laminated", () => {
  const found = advice([bow(READY)], HOUR);

  expect(named(found.now)).toEqual(["b A/laminate", "b B/laminate"]);
  expect(found.blocked).toEqual([]);
});

test("one in the form blocks the other, which is offered nowhere", () => {
  const found = advice([bow([...READY, at(2, "clamped", "A/laminate")])], HOUR);

  expect(named(found.blocked)).toEqual(["b B/laminate"]);
  expect([...named(found.now), ...named(found.meanwhile)]).not.toContain("b B/laminate");
});

test("it says what stands in the form, and until when", () => {
  const book = [...READY, at(2, "clamped", "A/laminate")];
  const found = advice([bow(book)], HOUR);
  const off = taken(found)[0]?.clock?.least ?? 0;

  expect(off).toBe(2 * MINUTE + 24 * HOUR);
  expect(said(found, HOUR)[0]).toMatch(
    /^Bow form is taken by “Laminate, piece A”\. Free after “Release”, the clamps stay on until .+\.$/,
  );
});

test("with its clamps off it is still in the way, until it is taken out", () => {
  const off = [...READY, at(2, "clamped", "A/laminate"), at(3, "clamps-off", "A/laminate")];

  expect(said(advice([bow(off)], HOUR), HOUR)).toEqual([
    "Bow form is taken by “Laminate, piece A”. Free after “Release”.",
  ]);
  expect(advice([bow([...off, at(4, "finished", "A/release")])], HOUR).blocked).toEqual([]);
});

test("a form made in one build is not in the way of another build", () => {
  const held = bow([...READY, at(2, "clamped", "A/laminate")], "b1");

  expect(named(advice([held, bow(READY, "b2")], HOUR).blocked)).toEqual(["b1 B/laminate"]);
});

test("a press of the shop is, unless the shop has counted another one", () => {
  const open = [bow([...READY, at(2, "clamped", "A/laminate")], "b1", "press"), bow(READY, "b2", "Press")];

  expect(named(advice(open, HOUR).blocked).sort()).toEqual(["b1 B/laminate", "b2 A/laminate", "b2 B/laminate"]);
  expect(said(advice([{ ...(open[0] as OpenBuild), name: "Chairs" }], HOUR), HOUR)[0]).toContain(
    "taken by “Laminate, piece A” of Chairs.",
  );
  expect(advice(open, HOUR, { press: 2 }).blocked).toEqual([]);
});

test("what is begun in the form is not blocked by itself", () => {
  const found = advice([bow([...READY, at(2, "began", "A/laminate")])], HOUR);

  expect(named(found.now)[0]).toBe("b A/laminate");
});
