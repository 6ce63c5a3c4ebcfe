/** The precedence graph: which operation must wait for which, with minimal time lags. Operations are numbers here. */
import type { Op, Problem } from "../../wire.gen.ts";
import { type Entry, pop, push } from "./heap.ts";

/** The minimal lag in minutes from the attended end of one operation to the start of another. */
export type MinLag = readonly [before: number, after: number, lag: number];

/** Gives an operation's number by its id; throws RangeError for one that is not among these. */
export function numbersOf(ops: readonly Op[]): (id: string) => number {
  const numbers = new Map(ops.map((op, n) => [op.id, n]));
  return (id) => {
    const found = numbers.get(id);
    if (found === undefined) throw new RangeError(`no operation ${id}`);
    return found;
  };
}

/**
 * All precedences, no pair twice: links, clamps that come off after they went on, and begun operations before all
 * others. Throws RangeError where a link or hold names an operation that is not there.
 */
export function minLagsOf(problem: Problem): MinLag[] {
  const number = numbersOf(problem.ops);
  const count = problem.ops.length;
  const lags = new Map<number, number>(); // by before * count + after
  for (const link of problem.links) {
    const before = number(link.before);
    const pair = before * count + number(link.after);
    lags.set(pair, Math.max(link.lag + (problem.ops[before] as Op).runs, lags.get(pair) ?? 0));
  }
  for (const hold of problem.holds) {
    if (!hold.take || !hold.give || hold.take === hold.give) continue;
    const pair = number(hold.take) * count + number(hold.give);
    if (!lags.has(pair)) lags.set(pair, 0);
  }
  const found = [...lags].map(([pair, lag]): MinLag => [Math.floor(pair / count), pair % count, lag]);
  return [...found, ...begunFirst(problem, found)];
}

/** The precedences that put all other operations after the begun ones and the predecessors of these. */
function begunFirst(problem: Problem, lags: readonly MinLag[]): MinLag[] {
  const begun = problem.ops.flatMap((op, n) => (op.begun ? [n] : []));
  if (!begun.length) return [];
  const predecessors: number[][] = problem.ops.map(() => []);
  for (const [before, after] of lags) (predecessors[after] as number[]).push(before);
  const first = closure(begun, predecessors);
  const notLast = new Set(lags.flatMap(([before, after]) => (first.has(after) ? [before] : [])));
  const last = [...first].filter((n) => !notLast.has(n)).sort((a, b) => a - b);
  return problem.ops.flatMap((_, n): MinLag[] => {
    const own = predecessors[n] as number[];
    if (first.has(n) || !own.every((before) => first.has(before))) return [];
    const known = new Set(own);
    return last.filter((before) => !known.has(before)).map((before) => [before, n, 0]);
  });
}

/** The roots and everything that can be reached from them. neighbours: by number, the numbers one step away. */
export function closure(roots: readonly number[], neighbours: readonly (readonly number[])[]): Set<number> {
  const reached = new Set(roots);
  const left = [...roots];
  for (let at = left.pop(); at !== undefined; at = left.pop()) {
    for (const n of neighbours[at] as readonly number[]) {
      if (reached.has(n)) continue;
      reached.add(n);
      left.push(n);
    }
  }
  return reached;
}

/**
 * Numbers 0 … count - 1, each after its predecessors; operations on a cycle, or after one, are left out.
 *
 * place: where the precedences leave a choice, the number with the least place comes first; by default the least number.
 */
export function topologicalOrder(
  count: number,
  lags: Iterable<readonly [before: number, after: number, ...lag: number[]]>,
  place?: readonly number[],
): number[] {
  const waits = new Array<number>(count).fill(0);
  const successors: number[][] = Array.from({ length: count }, () => []);
  for (const [before, after] of lags) {
    waits[after] = (waits[after] as number) + 1;
    (successors[before] as number[]).push(after);
  }
  const free: Entry[] = [];
  for (let n = 0; n < count; n++) if (!waits[n]) push(free, [place?.[n] ?? n, n]);
  const order: number[] = [];
  for (let next = pop(free); next; next = pop(free)) {
    const n = next[1];
    order.push(n);
    for (const after of successors[n] as number[]) {
      waits[after] = (waits[after] as number) - 1;
      if (!waits[after]) push(free, [place?.[after] ?? after, after]);
    }
  }
  return order;
}
