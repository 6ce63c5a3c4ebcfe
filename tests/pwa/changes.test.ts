import { expect, test } from "vitest";
import { gluesOf, isAnother, kindsOf, UNCHANGED, whatIfOf } from "../../pwa/src/screens/plan/changes.ts";
import { at, presented, step } from "./plans.ts";

test("only what is another than now is sent", () => {
  const changes = {
    clamps: { pipe: 2, spring: 0 },
    glue: { "pva-interior": "pva-slow", contact: "contact" },
    hours: "08:00 – 19:00",
    saturday: true,
    hands: 2,
  };

  expect(whatIfOf(changes)).toEqual({
    clamps: { pipe: 2 },
    glue: { "pva-interior": "pva-slow" },
    hours: "08:00-19:00",
    saturday: true,
    hands: 2,
  });
});

test("nothing changed is nothing to try", () => {
  expect(isAnother(whatIfOf(UNCHANGED))).toBe(false);
});

test.each([
  { clamps: { pipe: -1 } },
  { glue: { contact: "pva-slow" } },
  { hours: "07:00-19:00" },
  { saturday: true },
  { hands: 2 },
])("one thing is enough: %j", (changed) => {
  expect(isAnother(whatIfOf({ ...UNCHANGED, ...changed }))).toBe(true);
});

test("clamps to be tried are those counted; what the plan takes uncounted is named, for none of it are short", () => {
  const plan = presented([step("glue", at(5, 9), at(5, 10), { clamps: { pipe: 2 } })]);

  expect(kindsOf(plan, { spring: 12, pipe: 4 })).toEqual({ counted: ["pipe", "spring"], uncounted: [] });
  expect(kindsOf(plan, { spring: 12 })).toEqual({ counted: ["spring"], uncounted: ["pipe"] });
  expect(kindsOf(plan, undefined)).toEqual({ counted: [], uncounted: ["pipe"] });
});

test("glues to be replaced are those still to be spread", () => {
  const sheet = { operations: [{ id: "glue", glue: "hide-hot" }, { id: "done", glue: "contact" }, { id: "cut" }] };
  const plan = presented([step("glue", at(5, 9), at(5, 10)), step("cut", at(5, 10), at(5, 11))]);

  expect(gluesOf(plan, () => sheet as never)).toEqual(["hide-hot"]);
});
