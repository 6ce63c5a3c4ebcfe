/** The reversed problem: time runs backward, so that a forward pass over it is a backward pass over the real one. */
import { type Counts, giveBack, take } from "../model/clamps.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { FAR, type Hours } from "../model/hours.ts";
import { generateParallel, type Priorities } from "./parallel_generation.ts";

/**
 * The problem with predecessors and successors exchanged, and clamps taken where they are given back.
 *
 * Two rules are only approximated: setting up stays before its operation, where the reverse would have it after, and a
 * station is not held by a run. Good enough to find good orders; nothing is proved with it.
 */
export function reversedProblem(compiled: CompiledProblem): CompiledProblem {
  const waits = compiled.successors.map((pairs) => pairs.length);
  return {
    ...compiled,
    predecessors: compiled.successors,
    successors: compiled.predecessors,
    order: compiled.order.slice().reverse(),
    takes: compiled.gives,
    gives: compiled.takes,
    waits,
    sources: waits.flatMap((left, i) => (left > 0 ? [] : [i])),
    free: freeAtTheEnd(compiled),
    setupMinutes: compiled.setupMinutes.map(transposed),
    standing: compiled.setupMinutes.map((matrix) => matrix.length),
    maxLags: [],
    by: new Map(),
    craft: null,
    start: 0,
  };
}

/** Clamps that are free once every operation is done, by number of kind. */
function freeAtTheEnd(compiled: CompiledProblem): number[] {
  const free = compiled.free.slice();
  for (const counts of compiled.gives) giveBack(free, counts as Counts);
  for (const counts of compiled.takes) take(free, counts as Counts);
  return free;
}

/** Setup minutes with from and to exchanged; a last row, all 0, for a station whose setup is not known yet. */
function transposed(matrix: readonly (readonly number[])[]): number[][] {
  return [...matrix.map((_, to) => matrix.map((row) => row[to] as number)), matrix.map(() => 0)];
}

/** The hours counted back from a moment; all time before the first window counts as open. */
function reversedHours(hours: Hours, moment: number): Hours {
  const opens: number[] = [];
  const closes: number[] = [];
  for (let k = hours.opens.length - 1; k >= 0; k--) {
    const open = hours.opens[k] as number;
    if (open >= moment) continue;
    opens.push(Math.max(0, moment - (hours.closes[k] as number)));
    closes.push(moment - open);
  }
  return { opens: opens.length > 0 ? opens : [0], closes: [...closes.slice(0, -1), FAR], worked: [] };
}

/**
 * By operation, a latest start that respects hours, hands, clamps and setups, by one backward pass.
 *
 * Only one of many such sets of latest starts: it depends on the priorities. null if the pass places not all. due: by
 * operation, when it should be done, its run included.
 */
export function latestByBackwardPass(
  compiled: CompiledProblem,
  reverse: CompiledProblem,
  due: readonly number[],
  priorities: Priorities,
): number[] | null {
  const moment = Math.max(...due);
  const ready = due.map((by, i) => moment - by + (compiled.runs[i] as number));
  const hours = reversedHours(compiled.hours, moment);
  const never = due.map(() => FAR);
  const backward = generateParallel({ ...reverse, ready }, hours, priorities, never);
  return backward && backward.unplaced === 0 ? backward.end.map((end) => moment - end) : null;
}
