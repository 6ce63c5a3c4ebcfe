/**
 * A sequence in which clamps never deadlock.
 *
 * Two glue-ups that each hold half of the clamps the other one needs wait forever. As in the banker's algorithm
 * (Dijkstra 1965, from memory), clamps are given out only if all operations can still be done; here a depth-first search
 * over which operation takes clamps next.
 */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";

/** States visited before giving up; most shops need about one for each glue-up. */
const MOST_STATES = 2000;

/** All operations in an order that never deadlocks; if none is found, the longest such beginning. */
export function deadlockFreeOrder(compiled: CompiledProblem): number[] {
  const seen = new Set<string>();
  const left: number[][] = [[]];
  let best: number[] = [];
  while (left.length > 0 && seen.size < MOST_STATES) {
    const { order, done, takers } = extended(compiled, left.pop() as number[]);
    const state = done.map(Number).join("");
    if (seen.has(state)) continue;
    seen.add(state);
    if (order.length > best.length) best = order;
    if (best.length === compiled.ids.length) break;
    for (const i of takers.reverse()) left.push([...order, i]);
  }
  return best;
}

/** order: with everything appended that takes no clamps. done: by operation. takers: those that could take clamps next. */
type Extended = { readonly order: number[]; readonly done: boolean[]; readonly takers: number[] };

function extended(compiled: CompiledProblem, sofar: readonly number[]): Extended {
  const order = [...sofar];
  const done = compiled.ids.map(() => false);
  for (const i of order) done[i] = true;
  const waits = (i: number) => done[i] || compiled.predecessors[i]?.some(([before]) => !done[before]);
  for (const i of compiled.order) {
    if ((compiled.takes[i] as Counts).length > 0 || waits(i)) continue;
    done[i] = true;
    order.push(i);
  }
  const free = [...compiled.free];
  for (const i of order) {
    giveBack(free, compiled.gives[i] as Counts);
    take(free, compiled.takes[i] as Counts);
  }
  return {
    order,
    done,
    takers: compiled.order.filter((i) => !waits(i) && suffices(free, compiled.takes[i] as Counts)),
  };
}
