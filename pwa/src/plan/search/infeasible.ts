/**
 * Which operations can never be planned; found before planning, so that the rest can be planned.
 *
 * Only which, not why: the reasons, with what to do, come with the server's plan, and the page shows that one's.
 */
import type { Op, Problem } from "../../wire.gen.ts";
import { compileProblem } from "../model/compiled_problem.ts";
import { ableHands, hoursOfHand } from "../model/hands.ts";
import { type Hours, hoursOf } from "../model/hours.ts";
import { closure, minLagsOf, topologicalOrder } from "../model/precedence.ts";
import { deadlockFreeOrder } from "./deadlock.ts";
import { initialSchedule, latestStartValues } from "./initial.ts";

/** Gives the numbers of operations that cannot be planned by themselves; none where all that are left can be. */
type Check = (problem: Problem) => readonly number[];

const CHECKS: readonly Check[] = [onACycle, withoutHands, tooLarge, neverPlaced];

/**
 * The problem without the operations that cannot be planned, and the ids of these.
 *
 * Now and then an operation is left out that merely follows from one of these.
 */
export function feasiblePart(problem: Problem): readonly [rest: Problem, leftOut: readonly string[]] {
  let rest = problem;
  const leftOut: string[] = [];
  for (const check of CHECKS) {
    for (let found = check(rest); found.length > 0; found = check(rest)) {
      const gone = [...closure(found, successorsOf(rest))].map((n) => (rest.ops[n] as Op).id);
      leftOut.push(...gone);
      rest = without(rest, new Set(gone));
    }
  }
  return [rest, leftOut];
}

/** The problem without some operations; clamps that these would have given back stay in use. */
function without(problem: Problem, gone: ReadonlySet<string>): Problem {
  return {
    ...problem,
    ops: problem.ops.filter((op) => !gone.has(op.id)),
    links: problem.links.filter((link) => !gone.has(link.before) && !gone.has(link.after)),
    holds: problem.holds
      .filter((hold) => !gone.has(hold.take))
      .map((hold) => (gone.has(hold.give) ? { ...hold, give: "" } : hold)),
  };
}

/** By operation, its direct successors. */
function successorsOf(problem: Problem): readonly (readonly number[])[] {
  const found: number[][] = problem.ops.map(() => []);
  for (const [before, after] of minLagsOf(problem)) found[before]?.push(after);
  return found;
}

/** The operations of one cycle in the precedence graph. */
function onACycle(problem: Problem): readonly number[] {
  const count = problem.ops.length;
  const left = new Set(problem.ops.keys());
  for (const n of topologicalOrder(count, minLagsOf(problem))) left.delete(n);
  const after = successorsOf(problem);
  const behind = (n: number) => closure(after[n] as readonly number[], after);
  const first = [...left].find((n) => behind(n).has(n));
  if (first === undefined) return [];
  const reached = behind(first);
  return [...left].filter((n) => reached.has(n) && behind(n).has(first));
}

/** Work at a station that nobody of the crew may use. */
function withoutHands(problem: Problem): readonly number[] {
  return which(problem, (op) => problem.crew.length > 0 && ableHands(problem, op).length === 0);
}

/** Work that is longer than every window, and what needs more clamps or fixtures than the shop has. */
function tooLarge(problem: Problem): readonly number[] {
  const byHand = problem.crew.map((hand) => longestStretch(hoursOfHand(problem, hand)));
  const everyone = longestStretch(hoursOf(problem.windows, problem.start));
  return which(problem, (op) => {
    const able = ableHands(problem, op);
    const longest = able.length > 0 ? Math.max(...able.map((n) => byHand[n] as number)) : everyone;
    return (!op.breakable && op.minutes > longest) || takesTooMany(problem, op);
  });
}

/** Whether the operation needs more clamps or fixtures of a kind than the shop has. */
function takesTooMany({ holds, clamps }: Problem, op: Op): boolean {
  const taken = new Map<string, number>();
  for (const { kind, count, take } of holds) if (take === op.id) taken.set(kind, (taken.get(kind) ?? 0) + count);
  return [...taken].some(([kind, count]) => count > (clamps[kind] ?? 0));
}

/** Minutes of the longest stretch of working hours, 0 when there is none. */
function longestStretch({ opens, closes }: Hours): number {
  return Math.max(0, ...opens.map((open, k) => (closes[k] as number) - open));
}

/**
 * What neither the priority rule nor a deadlock-free order can place, for want of clamps or of hours.
 *
 * Only operations whose predecessors can be placed: the others follow from these.
 */
function neverPlaced(problem: Problem): readonly number[] {
  const compiled = compileProblem(problem);
  const schedule = initialSchedule(compiled, latestStartValues(compiled));
  if (schedule.unplaced === 0) return [];
  const forClamps = notAmong(deadlockFreeOrder(compiled), compiled.ids.length);
  const unplaced = forClamps.size > 0 ? forClamps : notAmong(schedule.order, compiled.ids.length);
  return [...unplaced].filter((i) => !compiled.predecessors[i]?.some(([before]) => unplaced.has(before)));
}

/** Of so many numbers from 0 on, those that are not among these. */
function notAmong(numbers: readonly number[], count: number): ReadonlySet<number> {
  const known = new Set(numbers);
  return new Set([...Array(count).keys()].filter((n) => !known.has(n)));
}

function which({ ops }: Problem, has: (op: Op) => boolean): readonly number[] {
  return ops.flatMap((op, n) => (has(op) ? [n] : []));
}
