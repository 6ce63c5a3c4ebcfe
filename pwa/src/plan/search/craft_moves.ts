/** Moves on the priorities that mend a fault of craft. */
import type { Fault } from "../model/craft_faults.ts";
import { faultsIn } from "../model/schedule.ts";
import { gather, type Incumbent, type MoveTable, nudge, reweight, shake, swap, withPredecessors } from "./moves.ts";
import type { Priorities } from "./parallel_generation.ts";

/** Minutes by which a value is changed at most. */
const SPREAD = 720;

/** An operation that has a fault of craft, or one beside it, is done sooner or later. */
function mend(at: Incumbent): Priorities {
  const faults = faultsOf(at);
  if (faults.length === 0) return nudge(at);
  const { random, priorities, schedule } = at;
  const values = [...priorities.values];
  const [kind, , i] = random.oneOf(faults);
  if (kind === "visit" && random.below(4) > 0) {
    join(at, values, i);
  } else if (random.below(2) > 0) {
    raiseTo(at, values, i, (values[i] as number) + 1 + random.below(SPREAD));
  } else {
    const place = schedule.order.indexOf(i);
    const lowered = random.below(2) > 0 ? i : (schedule.order[Math.max(0, place - 1 - random.below(3))] as number);
    values[lowered] = (values[lowered] as number) - 1 - random.below(SPREAD);
  }
  return { ...priorities, values };
}

/** The faults of craft in the incumbent's schedule. */
function faultsOf({ compiled, schedule }: Incumbent): readonly Fault[] {
  return schedule.unplaced > 0 ? [] : faultsIn(compiled, schedule);
}

/** Operation `i` is valued like the last one before it at its station, or that one like it. */
function join(at: Incumbent, values: number[], i: number): void {
  const { random, schedule } = at;
  const { station } = at.compiled;
  const before = schedule.order.slice(0, schedule.order.indexOf(i)).findLast((j) => station[j] === station[i]);
  if (before === undefined) return;
  if (random.below(2) > 0) raiseTo(at, values, i, (values[before] as number) - random.below(3));
  else values[before] = (values[i] as number) + random.below(3);
}

/** Operation `i` and all its predecessors, direct and indirect, are valued at least so high. */
function raiseTo({ compiled }: Incumbent, values: number[], i: number, value: number): void {
  for (const n of withPredecessors(compiled, [i])) values[n] = Math.max(values[n] as number, value);
}

/** While better plans at the same finish are looked for, where faults of craft count. */
export const TO_MEND: MoveTable = [
  [35, mend],
  [15, gather],
  [15, nudge],
  [20, swap],
  [8, shake],
  [7, reweight],
];
