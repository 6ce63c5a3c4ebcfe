import { expect, test } from "vitest";
import { readQuiet } from "../../pwa/src/alerts/quiet.ts";
import { isNight } from "../../pwa/src/phone/shop_hours.ts";

const QUIET = readQuiet({ from: "21:00", to: "07:00", zone: "UTC" });

/** Thursday 2 July 2026 in this machine's own zone, as the page takes the shop's hours. */
const at = (hours: number, minutes = 0) => new Date(2026, 6, 2, hours, minutes).getTime();

test("where nobody said anything it is never night", () => {
  for (const hours of [undefined, null, "", 7]) expect(isNight({ hours }, null, at(3))).toBe(false);
});

test("quiet hours are night, whatever the shop's hours", () => {
  expect(isNight({ hours: "00:00-23:59" }, QUIET, Date.UTC(2026, 6, 2, 22))).toBe(true);
  expect(isNight({}, QUIET, Date.UTC(2026, 6, 2, 12))).toBe(false);
});

test("it is night from the shop's closing to its opening, and its breaks are day", () => {
  const hours = "08:00-12:00, 12:30-17:00";

  expect([7, 8, 12, 16, 17, 23].map((hour) => isNight({ hours }, null, at(hour, 15)))).toEqual([
    ...[true, false, false, false, true, true],
  ]);
  expect(isNight({ hours }, null, at(17))).toBe(true);
  expect(isNight({ hours }, null, at(8))).toBe(false);
});

test("a day off is night all day", () => {
  expect(isNight({ hours: { mon: "08:00-17:00" } }, null, at(12))).toBe(true);
  expect(isNight({ hours: { thu: "08:00-17:00" } }, null, at(12))).toBe(false);
});

test("an evening over midnight is day until it ends, and so on the day after", () => {
  const hours = { thu: "18:00-01:00" };

  expect(
    [at(17, 59), at(18), at(23, 59), at(24), at(24, 59), at(25)].map((ms) => isNight({ hours }, null, ms)),
  ).toEqual([true, false, false, false, false, true]);
});

test("a closed date is night all day, also while the hours are not set", () => {
  const closed = [{ from: "2026-07-01", to: "2026-07-02", name: "Moving" }];

  expect(isNight({ hours: "08:00-17:00", closed }, null, at(12))).toBe(true);
  expect(isNight({ closed }, null, at(12))).toBe(true);
  expect(isNight({ closed }, null, at(24 + 12))).toBe(false);
  expect(isNight({ hours: "08:00-17:00", closed: [{ from: "2026-07-01" }] }, null, at(12))).toBe(false);
});
