import { expect, test } from "vitest";
import { type Day, daysOf } from "../../pwa/src/screens/plan/days.ts";
import { details, pathTo, times, whatIs } from "../../pwa/src/screens/plan/sentence.ts";
import type { Forecast, PlannedTask } from "../../pwa/src/wire.gen.ts";
import { at, presented, step } from "./plans.ts";

const cut = (piece: string, hour: number, minute: number, more: Partial<PlannedTask> = {}) =>
  step(`${piece}/cut`, at(5, hour, minute), at(5, hour, minute + 10), { title: "Cut", station: "saw", piece, ...more });

const joins = (one: PlannedTask, other: PlannedTask) => one.title === other.title;

const lines = (...steps: readonly PlannedTask[]) => {
  const [day] = daysOf(presented(steps), joins) as [Day];
  return day.blocks.map((block) => `${times(block)} ${whatIs(block.step, block.more)}`);
};

test("the same operation of pieces that follow at once is one block, which leads to them all", () => {
  const [day] = daysOf(presented([cut("A", 9, 0), cut("B", 9, 10), cut("C", 9, 20)]), joins) as [Day];
  const [block] = day.blocks;

  expect(day.blocks).toHaveLength(1);
  expect(block && [times(block), whatIs(block.step, block.more)]).toEqual(["09:00 to 09:30", "Cut, A, B and C"]);
  expect(block && pathTo(block)).toBe("/batch/b%20A%2Fcut%2Cb%20B%2Fcut%2Cb%20C%2Fcut");
});

test.each<[string, readonly PlannedTask[]]>([
  ["there is time between them", [cut("A", 9, 0), cut("B", 9, 15)]],
  ["something else comes between", [cut("A", 9, 0), step("x", at(5, 9, 10), at(5, 9, 20)), cut("B", 9, 20)]],
  ["the station is set between them", [cut("A", 9, 0), cut("B", 9, 14, { changes: true, setup_at: at(5, 9, 10) })]],
  ["clamps come off", [cut("A", 9, 0, { act: "clamps-off" }), cut("B", 9, 10, { act: "clamps-off" })]],
  ["two pairs of hands do them at once", [cut("A", 9, 0), cut("B", 9, 0)]],
])("they stay apart where %s", (_, steps) => {
  expect(lines(...steps)).toHaveLength(steps.length);
});

test("where there are several builds it says whose it is, and each piece once", () => {
  const forecasts = ["b", "c"].map((build) => ({ build, name: `Stool ${build}` }) as unknown as Forecast);
  const steps = [cut("A", 9, 0), cut("A", 9, 10, { build: "c" }), cut("B", 9, 20)];
  const [day] = daysOf(presented(steps, { forecasts }), joins) as [Day];
  const [alone] = daysOf(presented(steps, { forecasts: forecasts.slice(0, 1) }), joins) as [Day];

  expect(day.blocks.map((block) => whatIs(block.step, block.more))).toEqual(["Cut, A and B"]);
  expect(day.blocks.map((block) => details(block, day))).toEqual([["Stool b and Stool c", "At the saw"]]);
  expect(alone.blocks.map((block) => details(block, alone))).toEqual([["At the saw"]]);
});

test("nothing is put together that may not be", () => {
  const [day] = daysOf(presented([cut("A", 9, 0), cut("B", 9, 10)])) as [Day];

  expect(day.blocks).toHaveLength(2);
});

test("what goes on after closing time goes on by itself the next day", () => {
  const late = [cut("A", 16, 50), step("B/cut", at(5, 17), at(6, 8, 10), { title: "Cut", station: "saw", piece: "B" })];
  const days = daysOf(presented([cut("A", 16, 40), { ...late[1], start: at(5, 16, 50) } as PlannedTask]), joins);

  expect(days.map((day) => day.blocks.map(({ more, goesOn }) => [more.length, goesOn]))).toEqual([
    [[1, true]],
    [[0, false]],
  ]);
});
