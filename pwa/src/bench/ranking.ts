/** In which order what is ready is offered. */
import type { Candidate } from "./candidates.ts";
import { longestWait, OVERNIGHT, type Wait } from "./waits.ts";

/** A clock due within so many minutes makes longer work wait. Common practice, no source. */
const SOON = 30;
/** What is to stand overnight is begun so many minutes before it must be. Common practice, no source. */
const SLACK = 30;

/** The soonest wait that ends, and the minutes that are left of the day; null where there is none. */
export type Times = { readonly wait: Wait | null; readonly left: number | null };

/** Compares two candidates: below zero where the first comes first. */
export function byRank(times: Times): (a: Candidate, b: Candidate) => number {
  const order = new Map<Candidate, readonly number[]>();
  const rank = (one: Candidate) => {
    const found = order.get(one) ?? rankOf(one, times);
    order.set(one, found);
    return found;
  };
  return (a, b) => {
    const [x, y] = [rank(a), rank(b)];
    const n = x.findIndex((value, i) => value !== y[i]);
    return n < 0 ? 0 : (x[n] ?? 0) - (y[n] ?? 0);
  };
}

/** Lower comes first, one criterion after the other. */
function rankOf(one: Candidate, times: Times): readonly number[] {
  return [
    isTooLong(one, times) ? 1 : 0,
    isLastChance(one, times) ? 0 : 1,
    { stands: 0, free: 1, breaks: 2 }[one.setup],
    isForTheNight(one, times) ? 0 : 1,
    -one.tail,
    one.build.sheet.pieces.indexOf(one.op.piece),
    one.place,
  ];
}

/** Longer than the clock that is due soon allows. */
export function isTooLong({ minutes }: Candidate, { wait }: Times): boolean {
  return wait !== null && wait.minutes <= SOON && minutes > wait.minutes;
}

/** Starts a wait for the night, and can be done before the day ends. */
export function isForTheNight({ op, minutes }: Candidate, { left }: Times): boolean {
  return left !== null && minutes <= left && longestWait(op) >= Math.max(OVERNIGHT, left);
}

/** Starts a wait for the night, and is only just done before the day ends. */
function isLastChance(one: Candidate, times: Times): boolean {
  return times.left !== null && isForTheNight(one, times) && times.left - one.minutes <= SLACK;
}
