import { expect, test } from "vitest";
import { clocksOfAll } from "../../pwa/src/bench/clocks.ts";
import { type Bench, benchOf } from "../../pwa/src/bench/state.ts";
import type { Sheet } from "../../pwa/src/wire.gen.ts";
import { type Brief, bookOf } from "../briefs.ts";

/** A build of tests/vectors on whose glue-up these things happened. */
function built(id: string, briefs: readonly Brief[]) {
  const book = bookOf("stand", briefs);
  return { id, sheet: book.started()?.sheet as Sheet, bench: benchOf(book) as Bench };
}

test("clocks of several builds come soonest first, whichever build is the older", () => {
  const early = built("early", [["a", 1000, "a", { kind: "glue-on", operation: "A/glue" }]]);
  const late = built("late", [["a", 5000, "a", { kind: "glue-on", operation: "A/glue" }]]);
  const builds = (order: readonly (typeof early)[]) => clocksOfAll(order, [], 6000).map(({ build }) => build);

  expect(builds([early, late])).toEqual(["early", "late"]);
  expect(builds([late, early])).toEqual(["early", "late"]);
});
