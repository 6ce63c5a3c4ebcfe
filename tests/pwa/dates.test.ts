import { expect, test } from "vitest";
import { daysOffIn, isOff } from "../../pwa/src/phone/days_off.ts";
import { namesIn, peopleIn } from "../../pwa/src/phone/people.ts";
import { datesText } from "../../pwa/src/screens/words/dates.ts";

test("dates carry the year where it is not this one", () => {
  expect(datesText("2026-12-08", "2026-12-08", "2026-12-01")).toBe("Tue 8 Dec");
  expect(datesText("2026-12-24", "2027-01-01", "2026-12-01")).toBe("Thu 24 Dec to Fri 1 Jan 2027");
});

test("days off that can be read count, the earliest first; a single one ends on its day", () => {
  const kept = [{ from: "2026-12-24", to: "2027-01-01", name: "Christmas" }, { from: "2026-12-08" }];
  const wrong = [{ from: "soon" }, { from: "2026-12-09", to: "2026-12-01" }, null, 5, "2026-12-08"];

  expect(daysOffIn([...kept, ...wrong])).toEqual([{ from: "2026-12-08", to: "2026-12-08", name: "" }, kept[0]]);
  expect(daysOffIn("never")).toEqual([]);
});

test("both the first and the last date are off", () => {
  const off = daysOffIn([{ from: "2026-12-24", to: "2027-01-01" }]);
  const days = [new Date(2026, 11, 23), new Date(2026, 11, 24), new Date(2027, 0, 1, 23), new Date(2027, 0, 2)];

  expect(days.map((day) => isOff(off, day))).toEqual([false, true, true, false]);
});

test("people are whoever has a name", () => {
  const kept = [
    { name: " Anna " },
    { name: "Otto", unable: ["band saw", 5], hours: { mon: "08:00-12:00" } },
    {},
    "Ben",
  ];

  expect(peopleIn(kept)).toEqual([
    { name: "Anna", unable: [], hours: null, away: [] },
    { name: "Otto", unable: ["band saw"], hours: { mon: "08:00-12:00" }, away: [] },
  ]);
  expect(peopleIn(null)).toEqual([]);
});

test.each([
  ["Anna, Ben", ["Anna", "Ben"]],
  ["Anna and Ben; Cleo & Andreas Sander,", ["Anna", "Ben", "Cleo", "Andreas Sander"]],
  ["Anna, Anna", ["Anna"]],
  [" , ", []],
])("names typed as “%s”", (text, names) => {
  expect(namesIn(text)).toEqual(names);
});
