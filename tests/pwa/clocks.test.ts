import { expect, test } from "vitest";
import { clocksOfAll } from "../../pwa/src/bench/clocks.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import type { Bench, Sheet } from "../../pwa/src/wire.gen.ts";
import { bookOf } from "../briefs.ts";

const GLUE_ON = { kind: "glue-on", operation: "A/glue" };

/** A build of tests/vectors whose glue went on at this moment. */
function built(id: string, ms: number) {
  const book = bookOf("stand", [["a", ms, "a", GLUE_ON]]);
  return { id, sheet: book.started()?.sheet as Sheet, bench: benchOf(book) as Bench };
}

test("clocks of several builds come soonest first, whichever build is the older", () => {
  const early = built("early", 1000);
  const late = built("late", 5000);
  const builds = (order: readonly (typeof early)[]) => clocksOfAll(order, [], 6000).map(({ build }) => build);

  expect(builds([early, late])).toEqual(["early", "late"]);
  expect(builds([late, early])).toEqual(["early", "late"]);
});
