/** Hands that differ: when each is there, whether they differ at all, and who does what where they do not. */
import type { Hand, Op, Placed, Plan, Problem, Window } from "../../wire.gen.ts";
import { bisectRight, FAR, type Hours, hoursOf } from "./hours.ts";

/** When the hand is there. */
export function hoursOfHand(problem: Problem, hand: Hand): Hours {
  return hoursOf(without(problem.windows, hand.away), problem.start);
}

/** What is left of the windows outside of others. */
export function without(windows: readonly Window[], away: readonly Window[]): Window[] {
  const { opens, closes } = hoursOf(away, -FAR);
  const left: Window[] = [];
  for (const { start, end } of windows) {
    let from = start;
    for (let k = bisectRight(closes, start); k < opens.length && (opens[k] as number) < end; k++) {
      if (from < (opens[k] as number)) left.push({ start: from, end: opens[k] as number });
      from = closes[k] as number;
    }
    if (from < end) left.push({ start: from, end });
  }
  return left.sort((a, b) => a.start - b.start);
}

/** Who may do the operation, by their places in the crew. */
export function ableHands(problem: Problem, op: Op): number[] {
  return problem.crew.flatMap((hand, n) => (hand.unable.includes(op.station) ? [] : [n]));
}

/** Whether the crew's hands differ in these windows, at the stations in use. One alone differs from nobody. */
export function differ(problem: Problem): boolean {
  const used = new Set(problem.ops.map((op) => op.station));
  const hours = JSON.stringify(hoursOf(problem.windows, problem.start));
  return (
    problem.crew.length > 1 &&
    problem.crew.some(
      (hand) => hand.unable.some((one) => used.has(one)) || JSON.stringify(hoursOfHand(problem, hand)) !== hours,
    )
  );
}

/** The problem of a crew whose hands do not differ, for methods that know only how many there are. */
export function asAlike(problem: Problem): Problem {
  const [one, other] = problem.crew;
  const windows = one && !other ? without(problem.windows, one.away) : problem.windows;
  return { ...problem, windows, crew: [] };
}

/** A plan for hands that do not differ, with each operation given to the first of the crew that is free. */
export function withHands(problem: Problem, plan: Plan): Plan {
  if (!problem.crew.length) return plan;
  const free = problem.crew.map(() => problem.start);
  const placed = plan.placed.map((one): Placed => {
    const hand = Math.max(
      0,
      free.findIndex((since) => since <= one.setup),
    );
    if (one.setup < one.end) free[hand] = one.end;
    return { ...one, hand };
  });
  return { ...plan, placed };
}
