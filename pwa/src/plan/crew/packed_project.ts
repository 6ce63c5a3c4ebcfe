/**
 * A project with its resources packed into few whole numbers, so that one addition asks for many of them.
 *
 * Each resource has a field wide enough for its capacity; the highest bit of a field is a guard. Usage counts up from a
 * value chosen so that one unit too many sets the guard: while no guard is set, no resource is short. Fields lie in
 * lanes, numbers of so few bits that a sum of two stays within what bits can be asked of.
 */
import { type Project, topological } from "./project.ts";

/** Bits in a lane. */
const LANE = 30;

/** By activity, its direct predecessors or its direct successors. */
export type Links = readonly (readonly number[])[];

/** What an activity needs in one lane, packed. */
export type LaneNeed = { readonly lane: number; readonly amount: number };

/**
 * The project with activities renumbered in a topological order.
 *
 * number: the old number of each. needs: by activity, what it needs in each lane of which it needs anything. unused: by
 * lane, the packed usage when nothing runs. guard: by lane, the guard bits. head: earliest start by precedence alone;
 * tail: from the start to the end of the project, likewise. horizon: time for all activities one after the other.
 */
export type PackedProject = {
  readonly number: readonly number[];
  readonly minutes: readonly number[];
  readonly needs: readonly (readonly LaneNeed[])[];
  readonly unused: readonly number[];
  readonly guard: readonly number[];
  readonly predecessors: Links;
  readonly successors: Links;
  readonly head: readonly number[];
  readonly tail: readonly number[];
  readonly horizon: number;
};

/** The project packed. Throws Refused on a precedence cycle, or a need above the capacity. */
export function pack(project: Project): PackedProject {
  const number = topological(project);
  const place = new Array<number>(number.length).fill(0);
  for (const [now, old] of number.entries()) place[old] = now;
  const activities = number.map((old) => project.activities[old] as Project["activities"][number]);
  const fields = fieldsOf(project.capacities);
  const predecessors = activities.map(({ after }) => {
    return [...new Set(after)].map((old) => place[old] as number).sort((a, b) => a - b);
  });
  const successors: number[][] = activities.map(() => []);
  for (const [now, befores] of predecessors.entries()) for (const before of befores) successors[before]?.push(now);
  const minutes = activities.map((activity) => activity.minutes);
  const forward = [...minutes.keys()];
  const guards = fields.map(({ width }) => 2 ** (width - 1));
  const tooMany = project.capacities.map((capacity) => capacity + 1);
  const guard = laneSums(fields, guards);
  const most = laneSums(fields, tooMany);
  return {
    number,
    minutes,
    needs: activities.map(({ needs }) => {
      return laneSums(fields, needs).flatMap((amount, lane) => (amount > 0 ? [{ lane, amount }] : []));
    }),
    unused: guard.map((bits, lane) => bits - (most[lane] as number)),
    guard,
    predecessors,
    successors,
    head: heads(minutes, predecessors, forward),
    tail: heads(minutes, successors, forward.reverse()).map((rest, one) => rest + (minutes[one] as number)),
    horizon: minutes.reduce((sum, one) => sum + one, 0),
  };
}

/** Where a resource lies: its lane, and in it the value of its lowest bit. */
type Field = { readonly lane: number; readonly unit: number; readonly width: number };

function fieldsOf(capacities: readonly number[]): Field[] {
  let lane = 0;
  let used = 0;
  return capacities.map((capacity) => {
    const width = 33 - Math.clz32(capacity);
    if (used + width > LANE) [lane, used] = [lane + 1, 0];
    const field = { lane, unit: 2 ** used, width };
    used += width;
    return field;
  });
}

/** Amounts of all resources, packed, by lane. */
function laneSums(fields: readonly Field[], amounts: readonly number[]): number[] {
  const sums = new Array<number>((fields.at(-1)?.lane ?? -1) + 1).fill(0);
  for (const [resource, { lane, unit }] of fields.entries()) {
    sums[lane] = (sums[lane] as number) + (amounts[resource] as number) * unit;
  }
  return sums;
}

/** Earliest starts by precedence alone. order: such that each activity comes after its predecessors. */
function heads(minutes: readonly number[], predecessors: Links, order: readonly number[]): number[] {
  const head = new Array<number>(minutes.length).fill(0);
  for (const one of order) {
    let earliest = 0;
    for (const before of predecessors[one] as readonly number[]) {
      earliest = Math.max(earliest, (head[before] as number) + (minutes[before] as number));
    }
    head[one] = earliest;
  }
  return head;
}
