/**
 * Schedule generation schemes for a packed project, and forward-backward improvement.
 *
 * A schedule here is the list of its ends, by activity, from 0. With successors in place of predecessors the same
 * functions plan backward, and ends are counted from the finish back.
 */
import { type Entry, pop, push } from "../model/heap.ts";
import type { LaneNeed, Links, PackedProject } from "./packed_project.ts";

/**
 * Serial scheme: each activity of the order as early as it fits, also before activities placed already.
 *
 * order: each activity after its predecessors. A place is checked from its last unit back, so that one full unit rules
 * out every start before it.
 */
export function serial(project: PackedProject, order: readonly number[], predecessors: Links): number[] {
  const { minutes, needs, guard, horizon } = project;
  const used = project.unused.map((unused) => new Int32Array(horizon).fill(unused));
  const ends = new Array<number>(minutes.length).fill(0);
  for (const one of order) {
    let begin = 0;
    for (const other of predecessors[one] as readonly number[]) {
      if ((ends[other] as number) > begin) begin = ends[other] as number;
    }
    const long = minutes[one] as number;
    const needed = needs[one] as readonly LaneNeed[];
    let at = needed.length > 0 ? begin + long - 1 : -1;
    while (at >= begin) {
      if (isShort(used, guard, needed, at)) {
        begin = at + 1;
        at += long;
      } else {
        at -= 1;
      }
    }
    const end = begin + long;
    ends[one] = end;
    for (const { lane, amount } of needed) {
      const inLane = used[lane] as Int32Array;
      for (let unit = begin; unit < end; unit++) inLane[unit] = (inLane[unit] as number) + amount;
    }
  }
  return ends;
}

/** Whether some resource would be short in this unit of time. used: by lane and unit. */
function isShort(
  used: readonly Int32Array[],
  guard: readonly number[],
  needed: readonly LaneNeed[],
  at: number,
): boolean {
  for (const { lane, amount } of needed) {
    if ((((used[lane] as Int32Array)[at] as number) + amount) & (guard[lane] as number)) return true;
  }
  return false;
}

/** Parallel scheme: at each moment every activity that fits is started, the least key first. */
export function parallel(project: PackedProject, key: readonly number[]): number[] {
  const { minutes, needs, guard, predecessors, successors } = project;
  const byKey = (a: number, b: number) => (key[a] as number) - (key[b] as number);
  const used = project.unused.map((unused) => Int32Array.of(unused));
  const waits = predecessors.map((befores) => befores.length);
  const ends = new Array<number>(minutes.length).fill(0);
  let eligible = [...waits.keys()].filter((one) => waits[one] === 0).sort(byKey);
  let running: number[] = [];
  let now = 0;
  while (eligible.length > 0 || running.length > 0) {
    const later: number[] = [];
    for (const one of eligible) {
      const needed = needs[one] as readonly LaneNeed[];
      if (isShort(used, guard, needed, 0)) {
        later.push(one);
        continue;
      }
      use(used, needed, 1);
      ends[one] = now + (minutes[one] as number);
      running.push(one);
    }
    now = Number.POSITIVE_INFINITY;
    for (const one of running) now = Math.min(now, ends[one] as number);
    const still: number[] = [];
    for (const one of running) {
      if ((ends[one] as number) > now) {
        still.push(one);
        continue;
      }
      use(used, needs[one] as readonly LaneNeed[], -1);
      for (const other of successors[one] as readonly number[]) {
        waits[other] = (waits[other] as number) - 1;
        if (waits[other] === 0) later.push(other);
      }
    }
    running = still;
    eligible = later.sort(byKey);
  }
  return ends;
}

/** What an activity needs is used now, or no longer. sign: 1 or -1. */
function use(used: readonly Int32Array[], needed: readonly LaneNeed[], sign: number): void {
  for (const { lane, amount } of needed) {
    const inLane = used[lane] as Int32Array;
    inLane[0] = (inLane[0] as number) + sign * amount;
  }
}

/** The order for a backward pass: the latest end first; of equal ends the greatest number first. */
function byLatestEnd(ends: readonly number[]): number[] {
  return [...ends.keys()].reverse().sort((a, b) => (ends[b] as number) - (ends[a] as number));
}

/** The order for a forward pass after a backward one. ends: counted from the finish back, so the greatest first. */
export function byEarliestStart(ends: readonly number[]): number[] {
  return [...ends.keys()].sort((a, b) => (ends[b] as number) - (ends[a] as number));
}

/** Forward-backward improvement: right, then left justification, repeated while that shortens the schedule. */
export function justified(project: PackedProject, ends: readonly number[]): readonly number[] {
  let best = ends;
  for (;;) {
    const backward = serial(project, byLatestEnd(best), project.successors);
    const forward = serial(project, byEarliestStart(backward), project.predecessors);
    if (lastOf(forward) >= lastOf(best)) return best;
    best = forward;
  }
}

/** The greatest of the ends; 0 without any. */
export function lastOf(ends: readonly number[]): number {
  let last = 0;
  for (const end of ends) if (end > last) last = end;
  return last;
}

/** Activities by least key, each after its predecessors. */
export function priorityOrder(project: PackedProject, key: readonly number[]): number[] {
  const waits = project.predecessors.map((befores) => befores.length);
  const eligible: Entry[] = [];
  for (const [one, left] of waits.entries()) if (left === 0) push(eligible, [key[one] as number, one]);
  const order: number[] = [];
  for (let next = pop(eligible); next; next = pop(eligible)) {
    const one = next[1];
    order.push(one);
    for (const other of project.successors[one] as readonly number[]) {
      waits[other] = (waits[other] as number) - 1;
      if (waits[other] === 0) push(eligible, [key[other] as number, other]);
    }
  }
  return order;
}
