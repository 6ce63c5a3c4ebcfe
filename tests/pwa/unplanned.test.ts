import { expect, test } from "vitest";
import { because, causesOf } from "../../pwa/src/screens/words/unplanned.ts";

const left = (operation: string, reason: string, after = "") => ({ build: "b", operation, reason, after });

test("each cause is told once, with what comes after it; the same reason is one cause", () => {
  const short = "It takes 4 bar clamps, the shop has 2. Get more.";
  const causes = causesOf([
    left("A/glue", short),
    left("A/oil", "It comes after A/glue.", "A/glue"),
    left("B/glue", short),
    left("B/oil", "It comes after B/glue.", "B/glue"),
    left("A/saw", "Nobody here may use the saw."),
  ]);

  expect(causes).toEqual([
    { build: "b", operations: ["A/glue", "B/glue"], reason: short, waiting: ["A/oil", "B/oil"] },
    { build: "b", operations: ["A/saw"], reason: "Nobody here may use the saw.", waiting: [] },
  ]);
  expect(causes.map(because)).toEqual([
    "A/glue: it takes 4 bar clamps, the shop has 2.",
    "A/saw: nobody here may use the saw.",
  ]);
});

test("a build that cannot be worked out has its reason alone", () => {
  const [cause] = causesOf([left("", "It cannot be worked out: look into the log. All others are planned.")]);

  expect(cause && because(cause)).toBe("It cannot be worked out: look into the log.");
});
