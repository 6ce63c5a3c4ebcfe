/**
 * The last phase: small changes to the order itself, each generated serially.
 *
 * Parallel generation starts whatever is best now. It never waits overnight for something better, nor delays an operation
 * so that a maximal lag can be kept; an explicit order with delays can.
 */
import type { CompiledProblem, Lags } from "../model/compiled_problem.ts";
import type { Fault } from "../model/craft_faults.ts";
import type { Schedule } from "../model/schedule.ts";
import type { Random } from "./random.ts";
import { exceeded } from "./right_shift.ts";
import type { DelayedOrder } from "./serial_resumption.ts";
import { joinedInOrder } from "./setup_runs.ts";

/** Percent of tries that delay an operation, while maximal lags are exceeded. */
const DELAY = 40;

/** Percent of the other tries that move an operation which has a fault of craft, where there is one that counts. */
const MEND = 50;

/** Percent of the rest that join two runs of one setup, where there are two. */
const JOIN = 40;

/** Minutes by which an operation is delayed at most, unless to a later window. */
const MOST_DELAY = 120;

/** Among how many later windows the one is drawn to which an operation is delayed. */
const MOST_WINDOWS = 3;

/**
 * A slightly different order, which may turn out to be infeasible.
 *
 * schedule: that of the given order. faults: those of craft in it.
 */
export function changed(
  compiled: CompiledProblem,
  random: Random,
  { order, delays }: DelayedOrder,
  schedule: Schedule,
  faults: readonly Fault[],
): DelayedOrder {
  const over = [...exceeded(compiled, schedule)];
  if (over.length > 0 && random.below(100) < DELAY)
    return { order, delays: delayed(compiled, random, delays, schedule, random.oneOf(over).before) };
  if (compiled.craft && random.below(100) < MEND && faults.length > 0)
    return { order: moved(compiled, random, order, order.indexOf(random.oneOf(faults)[2])), delays };
  const joined = random.below(100) < JOIN ? joinedInOrder(compiled, order, random) : null;
  return { order: joined ?? moved(compiled, random, order, random.below(order.length)), delays };
}

/** The delays with operation `i` delayed to a later window or by some minutes, or no longer delayed. */
function delayed(
  compiled: CompiledProblem,
  random: Random,
  delays: ReadonlyMap<number, number>,
  schedule: Schedule,
  i: number,
): ReadonlyMap<number, number> {
  const others = new Map(delays);
  others.delete(i);
  const start = schedule.start[i] as number;
  const choice = random.below(4);
  if (choice === 0 && delays.has(i)) return others;
  if (choice === 1) return others.set(i, start + 1 + random.below(MOST_DELAY));
  const coming = compiled.hours.opens.filter((begin) => begin > start);
  return coming.length > 0 ? others.set(i, random.oneOf(coming.slice(0, MOST_WINDOWS))) : others;
}

/** The order with one to three operations from place `at` on moved, between their predecessors and successors. */
function moved(compiled: CompiledProblem, random: Random, order: readonly number[], at: number): number[] {
  const most = 1 + random.below(2) * random.below(3);
  const block = order.slice(at, at + most);
  const rest = [...order.slice(0, at), ...order.slice(at + block.length)];
  const before = neighboursOf(block, compiled.predecessors);
  const after = neighboursOf(block, compiled.successors);
  let low = at;
  while (low > 0 && !before.has(rest[low - 1] as number)) low -= 1;
  let high = at;
  while (high < rest.length && !after.has(rest[high] as number)) high += 1;
  const to = low + random.below(high - low + 1);
  return [...rest.slice(0, to), ...block, ...rest.slice(to)];
}

function neighboursOf(ops: readonly number[], lags: Lags): ReadonlySet<number> {
  return new Set(ops.flatMap((i) => (lags[i] as Lags[number]).map(([j]) => j)));
}
