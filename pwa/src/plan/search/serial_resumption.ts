/**
 * Serial generation of a slightly different order: only what may differ from the one before is generated again.
 *
 * Nothing differs before the first changed place, nor after the last one, once both are in the same state again.
 */
import type { CompiledProblem, Lags } from "../model/compiled_problem.ts";
import { FAR } from "../model/hours.ts";
import type { Schedule } from "../model/schedule.ts";
import { type Between, SerialGeneration } from "./serial_generation.ts";

/** Places from one state that is kept to the next; it costs as much to keep one as to place half an operation. */
const STEP = 4;

/** An order, and the operations that are delayed on purpose: operation to its earliest start in minutes. */
export type DelayedOrder = { readonly order: readonly number[]; readonly delays: ReadonlyMap<number, number> };

/**
 * A schedule, and what is needed to generate that of another order from part of it.
 *
 * between: the states before places 0, STEP, 2 STEP …
 */
export type SerialGenerated = {
  readonly schedule: Schedule;
  readonly delays: ReadonlyMap<number, number>;
  readonly between: readonly Between[];
};

/**
 * What `generateSerial` gives, made from another generation for the same problem, if there is one.
 *
 * It is that one itself where nothing differs; null where the order is not allowed.
 */
export function generateResumed(
  compiled: CompiledProblem,
  { order, delays }: DelayedOrder,
  like: SerialGenerated | null = null,
): SerialGenerated | null {
  const [first, last] = like ? placesThatDiffer(like, order, delays) : [0, order.length];
  if (like && first > last) return like;
  const mark = Math.floor(first / STEP);
  const between = like ? like.between.slice(0, mark) : [];
  const generation = new SerialGeneration(compiled, order.length, delays);
  if (like) generation.goOnFrom(like.between[mark] as Between, like.schedule, order.slice(mark * STEP));
  for (let n = mark * STEP; n < order.length; n++) {
    if (n % STEP === 0) {
      const now = generation.between();
      const was = like?.between[n / STEP];
      if (like && was && n > last && isSame(generation, now, was, like.schedule, order.slice(mark * STEP, n))) {
        generation.endAs(like.schedule, was, order.slice(n));
        const rest = withChanges(like.between.slice(n / STEP), now.changes - was.changes);
        return { schedule: generation.schedule(order), delays, between: [...between, ...rest] };
      }
      between.push(now);
    }
    if (!generation.place(order[n] as number)) return null;
  }
  return { schedule: generation.schedule(order), delays, between };
}

/** The first and the last place at which order or delays differ; the number of places and -1 where none does. */
function placesThatDiffer(
  like: SerialGenerated,
  order: readonly number[],
  delays: ReadonlyMap<number, number>,
): [first: number, last: number] {
  const old = like.schedule.order;
  let first = 0;
  while (first < order.length && order[first] === old[first]) first += 1;
  let last = order.length - 1;
  while (last >= first && order[last] === old[last]) last -= 1;
  if (first === order.length) last = -1;
  if (delays === like.delays) return [first, last];
  for (const i of new Set([...delays.keys(), ...like.delays.keys()])) {
    if (delays.get(i) === like.delays.get(i)) continue;
    const places = [order.indexOf(i), old.indexOf(i)];
    first = Math.min(first, ...places);
    last = Math.max(last, ...places);
  }
  return [first, last];
}

/**
 * True if what is not placed yet comes as in the other generation.
 *
 * now, was: the states of both. done: all that is placed and may have been placed otherwise there.
 */
function isSame(
  generation: SerialGeneration,
  now: Between,
  was: Between,
  like: Schedule,
  done: readonly number[],
): boolean {
  if (now.now !== was.now || now.standing.some((setup, at) => setup !== was.standing[at])) return false;
  for (const [at, busy] of now.busy.entries()) {
    if (busy !== was.busy[at] && Math.max(busy, was.busy[at] as number) > now.now) return false;
  }
  return done.every((i) => {
    const [end, ended] = [generation.end[i] as number, like.end[i] as number];
    if (end === ended) return true;
    const latest = Math.max(end, ended);
    const after = generation.compiled.successors[i] as Lags[number];
    return after.every(([j, lag]) => (generation.end[j] as number) < FAR || latest + lag <= now.now);
  });
}

/** States that follow each other, with so many more setup changes before each. */
function withChanges(rest: readonly Between[], more: number): readonly Between[] {
  return more === 0 ? rest : rest.map((one) => ({ ...one, changes: one.changes + more }));
}
