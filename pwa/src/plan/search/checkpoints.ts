/**
 * What is kept of a parallel generation, so that with slightly other priorities only a part of it is generated again.
 *
 * A move leaves most of the order as it is: nothing differs before the first operation that may be chosen otherwise, nor
 * after all that differ, once both are in the same state again.
 */
import type { Schedule } from "../model/schedule.ts";

/** How many checkpoints are kept of a generation, about; more cost more than they save. */
const CHECKPOINTS = 10;

/** Operations from one checkpoint to the next, at least. */
const LEAST_STEP = 4;

/** In `State.waits`, of an operation that is placed. */
export const PLACED = -1;

/**
 * A generation between two choices: all that the rest of it depends on but the priorities.
 *
 * now: the moment. window: number of the current window. free: clamps, by number of kind. waits: by operation, how many
 * predecessors are not placed, PLACED once it is itself, so that 0 says that it is eligible. here: the station where
 * work was last done. due: of `OpenLags`, operation after operation with its latest start, in the order in which it goes
 * through them. wanted: the same of `OpenCraft`, sorted. busy, ready, wetUntil: what is over by now makes no difference.
 * The rest as in `Eligible`.
 */
export type State = {
  readonly now: number;
  readonly window: number;
  readonly free: readonly number[];
  readonly standing: readonly number[];
  readonly busy: readonly number[];
  readonly waits: readonly number[];
  readonly ready: readonly number[];
  readonly here: number;
  readonly due: readonly number[];
  readonly wetUntil: number;
  readonly wanted: readonly number[];
};

/** The state before the operation at a place in the order is chosen, and changes and lateness until then. */
export type Checkpoint = {
  readonly place: number;
  readonly changes: number;
  readonly lateness: number;
  readonly state: State;
};

/**
 * A schedule, and what is needed to generate another one from part of it.
 *
 * costs: by place in the order, at what cost the operation was chosen, or more: a value that grew since may be left out.
 * checkpoints: one for each `step` places.
 */
export type Generated = {
  readonly schedule: Schedule;
  readonly costs: readonly number[];
  readonly checkpoints: readonly Checkpoint[];
  readonly step: number;
};

/**
 * Where other priorities may choose otherwise than those that made `of`, for the same problem and latest starts.
 *
 * first: the first such place in the order. last: the last place of an operation whose value differs.
 */
export type Difference = {
  readonly of: Generated;
  readonly first: number;
  readonly last: number;
};

/** Whether nothing differs from this place on, a checkpoint's, at which another generation is in this state. */
export function isOver(difference: Difference, mark: number, state: State): boolean {
  return mark > difference.last && isSameState(state, checkpointAt(difference.of, mark).state);
}

/** The checkpoint at this place, or the last one before it. */
export function checkpointAt(generated: Generated, place: number): Checkpoint {
  return generated.checkpoints[Math.floor(place / generated.step)] as Checkpoint;
}

/** Operations from one checkpoint to the next, for so many operations in all. */
export function stepFor(count: number): number {
  return Math.max(LEAST_STEP, Math.floor(count / CHECKPOINTS));
}

/** The checkpoints from this place on, for a generation with other changes and lateness until then. */
export function checkpointsFrom(like: Generated, mark: number, changes: number, lateness: number): Checkpoint[] {
  const rest = like.checkpoints.slice(mark / like.step);
  const first = rest[0] as Checkpoint;
  return rest.map((x) => ({
    place: x.place,
    changes: x.changes + changes - first.changes,
    lateness: x.lateness + lateness - first.lateness,
    state: x.state,
  }));
}

/** Whether the rest of both generations is the same, with the same priorities. What is placed says which clamps are free. */
function isSameState(a: State, b: State): boolean {
  return (
    a.now === b.now &&
    a.window === b.window &&
    a.here === b.here &&
    Math.max(a.now, a.wetUntil) === Math.max(a.now, b.wetUntil) &&
    areSame(a.waits, b.waits) &&
    areSameFrom(a.now, a.ready, b.ready) &&
    areSame(a.standing, b.standing) &&
    areSameFrom(a.now, a.busy, b.busy) &&
    areSame(a.due, b.due) &&
    areSame(a.wanted, b.wanted)
  );
}

function areSame(a: readonly number[], b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let n = 0; n < a.length; n++) if (a[n] !== b[n]) return false;
  return true;
}

/** Whether these moments are the same; of two that are both over by now it makes no difference. */
function areSameFrom(now: number, a: readonly number[], b: readonly number[]): boolean {
  for (let n = 0; n < a.length; n++) {
    const one = a[n] as number;
    const other = b[n] as number;
    if (one !== other && (one > now || other > now)) return false;
  }
  return true;
}
