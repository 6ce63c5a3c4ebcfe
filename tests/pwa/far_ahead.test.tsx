// @vitest-environment happy-dom
/** A log in which a wrong clock has stamped something beyond every calendar: it is shown, and drags nothing along. */
import { afterEach, expect, test } from "vitest";
import { readQuiet, ringsAt } from "../../pwa/src/alerts/quiet.ts";
import { session } from "../../pwa/src/live/session.ts";
import { builds, running } from "../../pwa/src/live/state.ts";
import { clockTime, dayAndTime, dayName, iso, isSameDay, longDate, timeOfDay } from "../../pwa/src/moments.ts";
import { logPath, partPath } from "../../pwa/src/screens/paths.ts";
import { linesOf } from "../../pwa/src/screens/shop/records.tsx";
import type { RecordsCondition } from "../../pwa/src/wire.gen.ts";
import { closePage, MINUTE, openPage, START, show, wordsAt } from "./page.ts";

/** Beyond the last moment of ECMA-262, 8.64e15 ms. */
const BEYOND = 145_000_000_000;

afterEach(closePage);

test.each([Number.MAX_SAFE_INTEGER, 8.64e15 + 1, 4_102_444_800_000, -1])("a moment of %d ms can be texts", (ms) => {
  const texts = [clockTime(ms, START), dayAndTime(ms), dayName(ms, START), longDate(ms), timeOfDay(ms), iso(ms)];

  expect(texts.every((words) => words.length > 4)).toBe(true);
  expect(isSameDay(ms, START)).toBe(false);
});

test("quiet hours put off nothing that is due beyond every calendar", () => {
  const quiet = readQuiet({ from: "21:00", to: "07:00", zone: "Europe/Paris" });

  expect(ringsAt(quiet, "in-clamps", Number.MAX_SAFE_INTEGER)).toBe(Number.MAX_SAFE_INTEGER);
});

test("the log, the bench and the part of a poisoned build are drawn, and its other clocks run", async () => {
  await openPage(
    [
      [1, { kind: "clamped", operation: "A/glue" }],
      [BEYOND, { kind: "clamped", operation: "B/glue" }],
      [BEYOND, { kind: "noted", text: "from a clock that ran away" }],
    ],
    2,
  );
  for (const path of [logPath("b"), "/", partPath("b", "B/leg-1")]) {
    await show(path);
    expect(wordsAt("h1, h2").length, path).toBeGreaterThan(0);
  }
  await show(logPath("b"));

  expect(wordsAt(".story li").join(" ")).toContain("from a clock that ran away");
  expect(running.value.map(({ operation }) => operation)).toContain("A/glue");
});

test("what is recorded after such a stamp was met goes by the time", async () => {
  await openPage([], 2);
  const at = { ms: START + BEYOND * MINUTE, counter: 0, device: "f".repeat(16) };
  await session()?.fold([
    { id: "0190-far", n: 1, at, build: "b", about: [], what: { kind: "noted", text: "x" } as never },
  ]);

  expect(builds.value[0]?.book.byId.has("0190-far")).toBe(true);
  expect(session()?.nextStamp().ms).toBe(START + 2 * MINUTE);
});

const WHOLE: RecordsCondition = {
  entries: 12,
  of: 12,
  photos: 3,
  passed_ms: START,
  now_ms: START,
  damaged: [],
  damaged_photos: 0,
  file: "",
  failed: [],
  early: [],
  ahead: [],
  unreadable: [],
};

test("records that are whole are called that, with when they were checked", () => {
  expect(linesOf(WHOLE)).toEqual([
    { able: true, what: expect.stringMatching(/^Checked for damage at .*: 12 entries and 3 photos\.$/) },
  ]);
  expect(linesOf({ ...WHOLE, passed_ms: null, entries: 5 })).toEqual([
    { able: true, what: "Being checked for damage: 5 of 12 entries." },
  ]);
});

test("what is damaged is named with its build, and with what to do", async () => {
  await openPage([], 2);
  const damaged = [
    { build: "b", entries: 1, beginning: false },
    { build: "", entries: 2, beginning: false },
    { build: "0190-lost", entries: 1, beginning: true },
  ];
  const lines = linesOf({ ...WHOLE, damaged, damaged_photos: 1, file: "row 4 missing", failed: ["b"] });
  const name = builds.value[0]?.name;

  expect(lines.map(({ what }) => what).slice(1)).toEqual([
    `${name}: 1 entry is damaged, all others count.`,
    "The shop's settings and air: 2 entries are damaged, all others count.",
    "Build lost: 1 entry is damaged, its beginning among them: the server rings none of its clocks.",
    "1 photo is damaged.",
    `${name}: the server cannot work out its clocks, and rings none of them.`,
    "The records' file is damaged (row 4 missing).",
  ]);
  expect(lines.slice(1).every(({ able, next }) => !able && next?.endsWith("."))).toBe(true);
});
