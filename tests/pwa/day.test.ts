import { expect, test } from "vitest";
import { Refused } from "../../pwa/src/findings.ts";
import { withBreaks, withoutBreaks } from "../../pwa/src/phone/breaks.ts";
import { dayEnds, hoursOf, hoursText, workingDays } from "../../pwa/src/phone/shop_hours.ts";

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

test("an evening over midnight is today until it ends", () => {
  const settings = { hours: { wed: "18:00-01:00", thu: "18:00-00:30" } };

  expect(dayEnds(settings, new Date(2026, 2, 5, 0, 30).getTime())).toBe(new Date(2026, 2, 5, 1).getTime());
  expect(dayEnds(settings, THURSDAY)).toBe(new Date(2026, 2, 6, 0, 30).getTime());
});

test("on a closed date nobody works", () => {
  expect(dayEnds({ hours: "08:00-17:00", closed: [{ from: "2026-03-05" }] }, THURSDAY)).toBeNull();
  expect(
    dayEnds({ hours: "08:00-17:00", closed: [{ from: "2026-03-01", to: "2026-03-04" }] }, THURSDAY),
  ).not.toBeNull();
  expect(dayEnds({ hours: "08:00-17:00", closed: "soon" }, THURSDAY)).not.toBeNull();
});

test.each([
  ["08:00-17:00", "12:00-12:30, 15:00-15:15", "08:00-12:00, 12:30-15:00, 15:15-17:00"],
  ["18:00-01:00", "21:00-21:30, 00:10-00:20", "18:00-21:00, 21:30-00:10, 00:20-01:00"],
  ["18:00-01:00", "23:50-00:10", "18:00-23:50, 00:10-01:00"],
  ["18:00-01:00", "00:10-00:20", "18:00-00:10, 00:20-01:00"],
  ["08:00-17:00", "", "08:00-17:00"],
])("breaks are what lies between: %s without %s", (hours, breaks, periods) => {
  expect(hoursText(withBreaks(hours, breaks))).toBe(periods);
  expect(withoutBreaks(withBreaks(hours, breaks))).toEqual({ hours, breaks });
});

test.each(["07:00-08:30", "12:00-13:00, 12:30-13:30", "16:30-17:00", "17:30-18:00", "noon"])(
  "no break: %s",
  (breaks) => {
    expect(() => withBreaks("08:00-17:00", breaks)).toThrow(Refused);
  },
);
