import { expect, test } from "vitest";
import { dayEnds } from "../../pwa/src/phone/day.ts";

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
