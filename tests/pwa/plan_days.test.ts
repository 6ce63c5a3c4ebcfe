import { expect, test } from "vitest";
import { columnsOf, headOf } from "../../pwa/src/screens/plan/columns.ts";
import { beginOf, type Day, daysOf } from "../../pwa/src/screens/plan/days.ts";
import {
  details,
  outFromBefore,
  outOvernight,
  times,
  underneath,
  whatIs,
} from "../../pwa/src/screens/plan/sentence.ts";
import { downTo } from "../../pwa/src/screens/plan/stretches.ts";
import { at, presented, step } from "./plans.ts";

const THUMB = 48;

const cut = step("cut", at(5, 9, 10), at(5, 9, 30), {
  station: "table saw",
  setup: "width",
  changes: true,
  setup_at: at(5, 9),
});
const drill = step("drill", at(5, 9, 30), at(5, 9, 35), { station: "drill press", free: at(5, 11) });
const glue = step("glue", at(5, 16), at(5, 16, 20), { clamps: { "parallel jaw": 4 } });
const glueToo = step("glue too", at(5, 16, 20), at(5, 16, 40), { clamps: { "parallel jaw": 2, pipe: 1 } });
const off = step("glue", at(6, 8), at(6, 8, 5), { act: "clamps-off", clamps: { "parallel jaw": 4 } });
const offToo = step("glue too", at(6, 8, 5), at(6, 8, 10), {
  act: "clamps-off",
  clamps: { "parallel jaw": 2, pipe: 1 },
});
const sand = step("sand", at(9, 8), at(9, 10));

const days = daysOf(presented([cut, drill, glue, glueToo, off, offToo, sand]));
const [thursday, friday, monday] = days as [Day, Day, Day];

const height = (day: Day, from: number, to: number) => downTo(day.stretches, to) - downTo(day.stretches, from);

test("days on which the hands work, in order; a weekend is passed over", () => {
  expect(days.map((day) => new Date(day.to - 1).getDate())).toEqual([5, 6, 9]);
  expect(days.map(({ blocks }) => blocks.map(({ step: { operation } }) => operation))).toEqual([
    ["cut", "drill", "glue", "glue too"],
    ["glue", "glue too"],
    ["sand"],
  ]);
});

test("when hands work again after it", () => {
  expect(days.map(({ reopens }) => reopens)).toEqual([at(6, 8), at(9, 8), null]);
});

test("the shortest job is a thumb tall, a longer one taller, and a night less than a job", () => {
  for (const day of days)
    for (const { from, to } of day.blocks) expect(height(day, from, to)).toBeGreaterThanOrEqual(THUMB);
  expect(height(monday, at(9, 8), at(9, 10))).toBeGreaterThan(height(thursday, at(5, 16), at(5, 16, 20)));
  expect(height(thursday, at(5, 17), thursday.to)).toBeLessThan(height(thursday, at(5, 16), at(5, 16, 20)));
});

test("later is never drawn higher", () => {
  const moments = Array.from({ length: 24 * 12 }, (_, n) => at(5, 0, 5 * n));
  const tops = moments.map((ms) => downTo(thursday.stretches, ms));

  expect(tops).toEqual([...tops].sort((a, b) => a - b));
});

test("setting up stands before the work, and counts from its own beginning", () => {
  const [block] = thursday.blocks;

  expect(block && beginOf(block)).toBe(at(5, 9));
  expect(thursday.stations.get("table saw")?.map(({ what, from, to }) => [what, from, to])).toEqual([
    ["setting", at(5, 9), at(5, 9, 10)],
    ["work", at(5, 9, 10), at(5, 9, 30)],
  ]);
});

test("a station that runs by itself is in use while the hands are not", () => {
  expect(thursday.stations.get("drill press")?.map(({ what, from, to }) => [what, from, to])).toEqual([
    ["work", at(5, 9, 30), at(5, 9, 35)],
    ["run", at(5, 9, 35), at(5, 11)],
  ]);
});

test("clamps are out through the night, and counted by kind", () => {
  const midnight = at(6, 0);

  expect(thursday.clamps.get("parallel jaw")).toMatchObject([
    { from: at(5, 16), to: at(5, 16, 20), count: 4, taken: true, given: false },
    { from: at(5, 16, 20), to: midnight, count: 6, taken: true, given: false },
  ]);
  expect(friday.clamps.get("parallel jaw")).toMatchObject([
    { from: midnight, to: at(6, 8, 5), count: 6, taken: false, given: true },
    { from: at(6, 8, 5), to: at(6, 8, 10), count: 2, taken: false, given: true },
  ]);
  expect(monday.clamps.size).toBe(0);
});

test("clamps that are on as the plan begins are out from its beginning", () => {
  const [day] = daysOf(presented([{ ...off, start: at(5, 10), end: at(5, 10, 5) }])) as [Day];

  expect(day.clamps.get("parallel jaw")).toMatchObject([{ from: at(5, 9), to: at(5, 10, 5), count: 4, taken: false }]);
});

test("clamps that go on just as the plan begins are taken, not out from before", () => {
  const [day] = daysOf(presented([{ ...glue, start: at(5, 9), setup_at: at(5, 9), end: at(5, 9, 20) }, off])) as [Day];

  expect(day.clamps.get("parallel jaw")).toMatchObject([{ from: at(5, 9), taken: true, given: false }]);
  expect([outFromBefore(day), outOvernight(day)]).toEqual([[], ["4 parallel jaw clamps stay on overnight"]]);
});

test("what is left at closing time goes on the next day", () => {
  const carve = step("carve", at(5, 16), at(6, 9), { changes: true, setup_at: at(5, 15, 50) });
  const [first, second] = daysOf(presented([carve])) as [Day, Day];

  expect(first.blocks.map(({ from, to, goesOn }) => [from, to, goesOn])).toEqual([[at(5, 16), at(5, 17), true]]);
  expect(second.blocks.map(({ from, to, goesOn }) => [from, to, goesOn])).toEqual([[at(6, 8), at(6, 9), false]]);
  expect([first, second].map(({ blocks: [block] }) => block && beginOf(block))).toEqual([at(5, 15, 50), at(6, 8)]);
});

test("two pairs of hands work side by side", () => {
  const [day] = daysOf(presented([step("a", at(5, 9), at(5, 10)), step("b", at(5, 9, 30), at(5, 11))])) as [Day];

  expect(day.blocks.map(({ lane, lanes }) => [lane, lanes])).toEqual([
    [0, 2],
    [1, 2],
  ]);
});

test("with names, each person's lane is the same every day, and the words say whose it is", () => {
  const steps = [
    step("a", at(5, 9), at(5, 10), { hand: "Otto" }),
    step("b", at(5, 9, 30), at(5, 11), { hand: "Anna" }),
    step("c", at(6, 9), at(6, 10), { hand: "Otto" }),
  ];
  const days = daysOf(presented(steps)) as [Day, Day];

  expect(days.map(({ people }) => people)).toEqual([
    ["Anna", "Otto"],
    ["Anna", "Otto"],
  ]);
  expect(days.map(({ blocks }) => blocks.map(({ lane, lanes }) => [lane, lanes]))).toEqual([
    [
      [1, 2],
      [0, 2],
    ],
    [[1, 2]],
  ]);
  expect(days[0].blocks.map((block) => details(block, days[0])[0])).toEqual(["Otto", "Anna"]);
});

test("a day in words", () => {
  const said = thursday.blocks.map((block) => [times(block), whatIs(block.step), ...details(block, thursday)]);

  expect(said).toEqual([
    ["09:00 to 09:30", "cut", "At the table saw, 10 min to set it up"],
    ["09:30 to 09:35", "drill", "At the drill press", "Runs by itself until 11:00"],
    ["16:00 to 16:20", "glue", "Takes 4 parallel jaw clamps"],
    ["16:20 to 16:40", "glue too", "Takes 2 parallel jaw and 1 pipe clamps"],
  ]);
  expect(outOvernight(thursday)).toEqual([
    "6 parallel jaw clamps stay on overnight",
    "1 pipe clamp stays on overnight",
  ]);
  expect(outFromBefore(friday)).toEqual([
    "6 parallel jaw clamps still on until 08:05",
    "1 pipe clamp still on until 08:10",
  ]);
});

test("an act is called by what the hands do", () => {
  expect(whatIs({ ...off, piece: "B" })).toBe("Clamps off: glue, piece B");
  expect(whatIs({ ...off, act: "squeeze-out" })).toBe("Squeeze-out: glue");
});

test("without clamps the glue sets: no work, and no clamps that come off", () => {
  const set = step("wedge", at(6, 8), at(6, 8), { act: "clamps-off", unclamped: true });
  const [day] = daysOf(presented([set, sand])) as [Day];

  expect(day.blocks.map((block) => [times(block), whatIs(block.step)])).toEqual([["08:00", "Glue set: wedge"]]);
  expect(height(day, at(6, 8), at(6, 8, 1))).toBeGreaterThanOrEqual(THUMB);
});

test.each([288, 358, 388, 640])("nothing overlaps across %i px, and all of it is used", (width) => {
  const { hands, track, tracks } = columnsOf(thursday, width);
  const last = tracks.at(-1);

  expect(tracks.map(({ name }) => name)).toEqual(["table saw", "drill press", "parallel jaw", "pipe"]);
  expect(hands.width).toBeGreaterThanOrEqual(THUMB);
  expect(hands.x + hands.width).toBeLessThanOrEqual(tracks[0]?.x ?? 0);
  expect((last?.x ?? 0) + track).toBeCloseTo(width);
});

test("a long name is cut", () => {
  expect([headOf("table saw"), headOf("thickness sander 2")]).toEqual(["table saw", "thickness san…"]);
});

test("what stands under it in the list ends with the reason, if there is one", () => {
  const [first] = thursday.blocks;
  const saying = (reason: string) => first && underneath({ ...first, step: { ...cut, reason } }, thursday);
  expect(saying("")).toBe("At the table saw, 10 min to set it up");
  expect(saying("Not a day later.")).toBe("At the table saw, 10 min to set it up. Not a day later.");
});
