/**
 * Runs: operations that a station does one after the other in one setup. Fewer runs are fewer setup changes.
 *
 * The order of a station's setups is a travelling salesman's tour, with the finish for a limit. Two runs of the same
 * setup are joined as in Or-opt: one of the two is taken out and put beside the other.
 */
import type { CompiledProblem, Lags } from "../model/compiled_problem.ts";
import type { Random } from "./random.ts";

/** Operations by number, in the order in which they are taken up; at least one. */
type Run = readonly number[];

/** All runs of all stations, in the order in which they begin. */
function runsIn(compiled: CompiledProblem, order: readonly number[]): Run[] {
  const found: number[][] = [];
  const open = new Map<number, number[]>();
  for (const i of order) {
    const station = compiled.station[i] as number;
    const setup = compiled.setup[i] as number;
    if (station < 0 || setup < 0) continue;
    const run = open.get(station);
    if (run && compiled.setup[run[0] as number] === setup) {
      run.push(i);
    } else {
      const next = [i];
      open.set(station, next);
      found.push(next);
    }
  }
  return found;
}

/** A random run, and the next one of the same setup on its station; null if no setup has two. */
export function twoAlike(
  compiled: CompiledProblem,
  order: readonly number[],
  random: Random,
): readonly [Run, Run] | null {
  const pairs: (readonly [Run, Run])[] = [];
  const last = compiled.standing.map(() => new Map<number, Run>()); // by station, setup to its last run
  for (const run of runsIn(compiled, order)) {
    const i = run[0] as number;
    const runs = last[compiled.station[i] as number] as Map<number, Run>;
    const before = runs.get(compiled.setup[i] as number);
    if (before) pairs.push([before, run]);
    runs.set(compiled.setup[i] as number, run);
  }
  return pairs.length > 0 ? random.oneOf(pairs) : null;
}

/**
 * The order with two runs of one setup joined; null if no setup has two.
 *
 * The later one comes sooner, with its predecessors that are between, or the sooner one later, with its successors.
 */
export function joinedInOrder(compiled: CompiledProblem, order: readonly number[], random: Random): number[] | null {
  const pair = twoAlike(compiled, order, random);
  if (pair === null) return null;
  const [first, second] = pair;
  const isSooner = random.below(2) > 0;
  const begin = isSooner ? order.indexOf(first.at(-1) as number) + 1 : order.indexOf(first[0] as number);
  const end = isSooner ? order.indexOf(second.at(-1) as number) + 1 : order.indexOf(second[0] as number);
  const between = order.slice(begin, end);
  const moved = isSooner
    ? neighboursAmong(between, second, compiled.predecessors)
    : neighboursAmong(between, first, compiled.successors);
  const sooner = between.filter((i) => moved.has(i) === isSooner);
  const later = between.filter((i) => moved.has(i) !== isSooner);
  return [...order.slice(0, begin), ...sooner, ...later, ...order.slice(end)];
}

/** Of the operations between, those of the run and all their neighbours, direct and indirect. */
function neighboursAmong(between: readonly number[], run: Run, lags: Lags): ReadonlySet<number> {
  const among = new Set(between);
  const found = new Set<number>();
  const left = [...run];
  for (let i = left.pop(); i !== undefined; i = left.pop()) {
    if (!among.has(i) || found.has(i)) continue;
    found.add(i);
    for (const [j] of lags[i] as Lags[number]) left.push(j);
  }
  return found;
}
