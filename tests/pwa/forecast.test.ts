import { expect, test } from "vitest";
import { allLikelyDone, headline, promised, range, restsOn, roughly } from "../../pwa/src/screens/words/forecast.ts";
import type { Forecast } from "../../pwa/src/wire.gen.ts";
import { at, presented } from "./plans.ts";

const NOW = at(5, 9);

const forecast = (soonest: number, likely: number, latest: number): Forecast => ({
  build: "b",
  name: "Stool",
  finish: likely,
  soonest,
  likely,
  latest,
  timed: 12,
  due: null,
  odds: null,
});

test("the nearer a moment is, the more exactly it is told: the hour, half a day, a date", () => {
  expect(roughly(at(5, 16, 1), NOW)).toBe("16:15");
  expect(roughly(at(6, 12), NOW)).toBe("Fri morning");
  expect(roughly(at(6, 17), NOW)).toBe("Fri afternoon");
  expect(roughly(at(6, 17, 1), NOW)).toBe("Fri evening");
  expect(roughly(at(20, 11, 7), NOW)).toBe("Fri 20 Mar");
  expect(roughly(at(5 + 400, 11), NOW)).toMatch(/^[A-Z][a-z]{2} 9 Apr 2027$/);
});

test("a date is told with the one by which it is surely done, and with the plan's own where that is another", () => {
  const wide = { ...forecast(at(16, 10), at(17, 10), at(19, 10)), finish: at(16, 9) };
  const narrow = forecast(at(17, 9), at(17, 10), at(17, 16));

  expect([headline(wide, NOW), range(wide, NOW)]).toEqual([
    "Likely Tue 17 Mar",
    "Surely by Thu 19 Mar. If all goes as planned, Mon 16 Mar.",
  ]);
  expect([headline(narrow, NOW), range(narrow, NOW)]).toEqual(["Surely by Tue 17 Mar", ""]);
});

test("while nothing is timed nothing is called sure", () => {
  const wide = { ...forecast(at(16, 10), at(17, 10), at(19, 10)), timed: 0 };
  const narrow = { ...forecast(at(17, 9), at(17, 10), at(17, 16)), timed: 0, due: at(20, 17), odds: 10 };

  expect(range(wide, NOW)).toBe("Most likely no later than Thu 19 Mar.");
  expect(headline(narrow, NOW)).toBe("Most likely no later than Tue 17 Mar");
  expect(promised(narrow, NOW)).toBe("Promised for Fri 20 Mar: most likely kept.");
});

test("a promise has its odds, and neither never nor always is counted", () => {
  const kept = (due: number, odds: number) => promised({ ...forecast(NOW, NOW, NOW), due, odds }, NOW);

  expect(kept(at(6, 17), 8)).toBe("Promised for Fri: likely kept, 8 of 10.");
  expect(kept(at(6, 17), 5)).toBe("Promised for Fri: as likely kept as not, 5 of 10.");
  expect(kept(at(20, 17), 10)).toBe("Promised for Fri 20 Mar: surely kept.");
  expect(kept(at(5, 17), 0)).toBe("Promised for today: not kept by this plan.");
  expect(promised(forecast(NOW, NOW, NOW), NOW)).toBe("");
});

test("where nothing was timed it is called a guess", () => {
  const known = forecast(NOW, NOW, NOW);

  expect(restsOn(known)).toBe("From 12 timed operations.");
  expect(restsOn({ ...known, timed: 0 })).toBe("A rough guess: nothing has been timed yet.");
});

test("all is likely done with the last build", () => {
  const forecasts = [forecast(0, at(6, 9), 0), forecast(0, at(9, 9), 0), forecast(0, at(5, 9), 0)];

  expect(allLikelyDone(presented([], { forecasts, finish: at(5, 8) }))).toBe(at(9, 9));
  expect(allLikelyDone(presented([], { finish: at(5, 8) }))).toBe(at(5, 8));
});

test("a plan kept from before likely dates were told has the planned one", () => {
  const { likely: _, ...old } = forecast(0, at(6, 9), at(6, 10));

  expect(headline(old as Forecast, NOW)).toBe("Surely by Fri morning");
});
