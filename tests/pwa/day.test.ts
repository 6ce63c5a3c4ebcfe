import { expect, test } from "vitest";
import { dayEnds, hoursOf, workingDays } from "../../pwa/src/phone/shop_hours.ts";

const THURSDAY = new Date(2026, 2, 5, 9, 30).getTime();

test("the shop's hours end the day", () => {
  expect(dayEnds({ hours: "08:00-17:30" }, THURSDAY)).toBe(new Date(2026, 2, 5, 17, 30).getTime());
});

test("by weekday, where they are written so", () => {
  expect(dayEnds({ hours: { thu: "08:00-12:00", fri: "08:00-17:00" } }, THURSDAY)).toBe(
    new Date(2026, 2, 5, 12, 0).getTime(),
  );
});

test.each([[{}], [{ hours: { fri: "08:00-17:00" } }], [{ hours: "nine to five" }], [{ hours: 8 }]])(
  "nobody said: %j",
  (settings) => {
    expect(dayEnds(settings, THURSDAY)).toBeNull();
  },
);

test("a day with a break ends with its last stretch", () => {
  expect(dayEnds({ hours: "08:00-12:00, 12:30-17:00" }, THURSDAY)).toBe(new Date(2026, 2, 5, 17, 0).getTime());
});

test.each([
  ["8-17", null],
  ["17:00-08:00", null],
  ["08:00-12:00, 11:30-17:00", null],
  ["08:00 – 12:00,12:30-17:00", "08:00-12:00, 12:30-17:00"],
  ["", ""],
])("hours of a day: %s", (typed, hours) => {
  expect(hoursOf(typed)).toBe(hours);
});

test("hours say on which days they count", () => {
  expect(workingDays("08:00-17:00").days).toHaveLength(7);
  expect(workingDays({ mon: "08:00-12:00", sun: "" })).toEqual({ text: "08:00-12:00", days: ["mon"] });
  expect(workingDays(null)).toEqual({ text: "", days: [] });
});
