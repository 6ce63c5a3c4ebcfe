import { expect, test } from "vitest";
import { clockTime, dayName } from "../../pwa/src/moments.ts";

const at = (year: number, month: number, day: number) => new Date(year, month - 1, day, 8).getTime();
const now = at(2026, 12, 4);

test("a moment is said by how far it is; in another year with the year", () => {
  expect(clockTime(at(2026, 12, 4), now)).toBe("08:00");
  expect(clockTime(at(2026, 12, 7), now)).toBe("Mon 08:00");
  expect(clockTime(at(2026, 12, 14), now)).toBe("14 Dec 08:00");
  expect(clockTime(at(2027, 1, 4), now)).toBe("4 Jan 2027 08:00");
  expect(clockTime(at(2027, 1, 4), at(2026, 12, 31))).toBe("Mon 08:00");
});

test("a day's name too", () => {
  expect(dayName(at(2026, 12, 14), now)).toBe("Monday 14 December");
  expect(dayName(at(2027, 1, 4), now)).toBe("Monday 4 January 2027");
});
