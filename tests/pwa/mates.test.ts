import { expect, test } from "vitest";
import { meetingOf } from "../../pwa/src/bench/mates.ts";
import type { Assembly, Mate, Part, Sheet } from "../../pwa/src/wire.gen.ts";

const part = (id: string, mates: readonly Mate[] = []): Part => ({
  id,
  piece: id.split("/")[0] ?? "",
  name: id.split("/")[1] ?? id,
  title: id,
  stock: "white ash",
  material: "solid",
  size: [],
  plan_mm: [],
  mates,
});

const whole = (id: string, of: readonly string[]): Assembly => ({
  id,
  piece: id.split("/")[0] ?? "",
  name: id,
  title: id,
  of,
  by: "glue",
});

/** Two stools: legs meet rails, rails and legs make a frame, the seat meets the frame; the wedge meets nothing told. */
const pieces = ["A", "B"];
const SHEET = {
  parts: pieces.flatMap((piece) => [
    part(`${piece}/leg-1`, [{ end: "top mortise", to: `${piece}/rail-1`, at: "front tenon" }]),
    part(`${piece}/leg-2`, [{ end: "top mortise", to: `${piece}/rail-1`, at: "back tenon" }]),
    part(`${piece}/rail-1`, [
      { end: "front tenon", to: `${piece}/leg-1`, at: "top mortise" },
      { end: "back tenon", to: `${piece}/leg-2`, at: "top mortise" },
    ]),
    part(`${piece}/seat`, [{ end: "slots", to: `${piece}/frame`, at: "rail" }]),
    part(`${piece}/wedge`),
  ]),
  assemblies: pieces.flatMap((piece) => [
    whole(`${piece}/frame`, [`${piece}/leg-1`, `${piece}/leg-2`, `${piece}/rail-1`]),
    whole(`${piece}/stool`, [`${piece}/frame`, `${piece}/seat`]),
  ]),
} as unknown as Sheet;

test("two parts that the recipe joins meet, told from the first one's side", () => {
  expect(meetingOf(SHEET, "A/leg-1", "A/rail-1")).toEqual({
    kind: "meet",
    joints: [{ part: "A/leg-1", end: "top mortise", to: "A/rail-1", at: "front tenon" }],
  });
  expect(meetingOf(SHEET, "A/rail-1", "A/leg-1")).toEqual({
    kind: "meet",
    joints: [{ part: "A/rail-1", end: "front tenon", to: "A/leg-1", at: "top mortise" }],
  });
});

test("a part meets what is joined to the assembly it is in", () => {
  const joints = [{ part: "A/seat", end: "slots", to: "A/frame", at: "rail" }];

  expect(meetingOf(SHEET, "A/leg-2", "A/seat")).toEqual({ kind: "meet", joints });
  expect(meetingOf(SHEET, "A/seat", "A/frame")).toEqual({ kind: "meet", joints });
});

test("two parts without a joint do not meet, and it is told what they meet", () => {
  expect(meetingOf(SHEET, "A/leg-1", "A/leg-2")).toEqual({
    kind: "apart",
    joints: [
      { part: "A/leg-1", end: "top mortise", to: "A/rail-1", at: "front tenon" },
      { part: "A/leg-2", end: "top mortise", to: "A/rail-1", at: "back tenon" },
    ],
  });
});

test("the right joint of another piece is not the right part", () => {
  expect(meetingOf(SHEET, "A/leg-1", "B/rail-1")).toEqual({
    kind: "other piece",
    joints: [{ part: "A/leg-1", end: "top mortise", to: "A/rail-1", at: "front tenon" }],
  });
});

test("a part is inside its assemblies, however deep", () => {
  expect(meetingOf(SHEET, "A/leg-1", "A/frame")).toEqual({ kind: "inside", whole: "A/frame" });
  expect(meetingOf(SHEET, "A/stool", "A/leg-1")).toEqual({ kind: "inside", whole: "A/stool" });
});

test("the same label twice is no pair", () => {
  expect(meetingOf(SHEET, "A/leg-1", "A/leg-1")).toEqual({ kind: "same" });
});

test("where the recipe is silent, nothing is said", () => {
  expect(meetingOf(SHEET, "A/wedge", "B/wedge")).toEqual({ kind: "not in the recipe" });
});
