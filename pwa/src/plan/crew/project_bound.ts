/**
 * A lower bound on the finish of a project, and no schedule beats it.
 *
 * The greatest of three: the longest chain (critical path), each resource's work between heads and tails (energy), and a
 * destructive bound that raises the finish while propagation of disjunctive pairs refutes it.
 */
import type { LaneNeed, PackedProject } from "./packed_project.ts";
import type { Activity, Project } from "./project.ts";
import { lastOf } from "./project_generation.ts";

type Pair = readonly [one: number, other: number];

/** The least finish that is not refuted, in the project's units of time. */
export function projectBound(project: Project, packed: PackedProject): number {
  const amounts = packed.number.map((old) => (project.activities[old] as Activity).needs);
  let finish = lastOf(packed.tail);
  for (const [resource, capacity] of project.capacities.entries()) {
    const needs = amounts.map((amount) => amount[resource] as number);
    if (needs.some((need) => need > 0)) finish = Math.max(finish, energyBound(packed, needs, capacity));
  }
  const pairs = disjunctivePairs(packed);
  while (isRefuted(packed, pairs, finish)) finish += 1;
  return finish;
}

/**
 * The greatest sum of a head, the work of one resource after it, and a tail. needs: by activity, of the resource.
 *
 * Taken over all activities with at least this head and at least this rest (the tail without the activity itself).
 */
function energyBound({ head, tail, minutes }: PackedProject, needs: readonly number[], capacity: number): number {
  const rest = tail.map((one, n) => one - (minutes[n] as number));
  const using = [...needs.keys()].filter((one) => (needs[one] as number) > 0);
  using.sort((a, b) => (head[b] as number) - (head[a] as number));
  let most = 0;
  for (const least of new Set(using.map((one) => rest[one] as number))) {
    let work = 0;
    for (const one of using) {
      if ((rest[one] as number) < least) continue;
      work += (needs[one] as number) * (minutes[one] as number);
      most = Math.max(most, (head[one] as number) + Math.ceil(work / capacity) + least);
    }
  }
  return most;
}

/** Pairs of activities that precedence leaves unordered, but that together need more than the capacity. */
function disjunctivePairs(packed: PackedProject): Pair[] {
  const { needs, successors } = packed;
  const words = Math.ceil(needs.length / 32);
  const later = new Uint32Array(needs.length * words); // by activity, a bit for each that must come after it
  for (let one = needs.length - 1; one >= 0; one--) {
    for (const other of successors[one] as readonly number[]) {
      for (let n = 0; n < words; n++) orAt(later, one * words + n, later[other * words + n] as number);
      orAt(later, one * words + (other >>> 5), 1 << (other & 31));
    }
  }
  const using = [...needs.keys()].filter((one) => (needs[one] as readonly LaneNeed[]).length > 0);
  return using.flatMap((one, place) => {
    const unordered = using.slice(place + 1).filter((other) => {
      return !((later[one * words + (other >>> 5)] as number) & (1 << (other & 31)));
    });
    return unordered.filter((other) => exclude(packed, one, other)).map((other): Pair => [one, other]);
  });
}

function orAt(words: Uint32Array, place: number, bits: number): void {
  words[place] = (words[place] as number) | bits;
}

/** Whether two activities together need more than the capacity. */
function exclude({ needs, unused, guard }: PackedProject, one: number, other: number): boolean {
  const others = needs[other] as readonly LaneNeed[];
  return (needs[one] as readonly LaneNeed[]).some(({ lane, amount }) => {
    const more = others.find((need) => need.lane === lane)?.amount ?? 0;
    return (((unused[lane] as number) + amount + more) & (guard[lane] as number)) !== 0;
  });
}

/**
 * True if some start window becomes empty when all activities are to end by `finish`.
 *
 * Start windows [earliest, latest] are narrowed until nothing changes: if one of a pair cannot be before the other, it
 * must be after it; then precedence passes that on.
 */
function isRefuted(packed: PackedProject, pairs: readonly Pair[], finish: number): boolean {
  const { minutes } = packed;
  const earliest = packed.head.slice();
  const latest = packed.tail.map((tail) => finish - tail);
  for (;;) {
    let moved = false;
    for (const [one, other] of pairs) {
      for (const [a, b] of [
        [one, other],
        [other, one],
      ] as const) {
        const [longA, longB] = [minutes[a] as number, minutes[b] as number];
        if ((earliest[b] as number) + longB <= (latest[a] as number)) continue; // b may be before a
        const end = (earliest[a] as number) + longA;
        if (end > (latest[b] as number)) return true;
        if ((earliest[b] as number) < end) {
          earliest[b] = end;
          moved = true;
        }
        if ((latest[a] as number) > (latest[b] as number) - longA) {
          latest[a] = (latest[b] as number) - longA;
          moved = true;
        }
      }
    }
    if (moved) passOn(packed, earliest, latest);
    if (earliest.some((least, one) => least > (latest[one] as number))) return true;
    if (!moved) return false;
  }
}

/** Precedence passes on, in place, what was narrowed. */
function passOn({ minutes, predecessors, successors }: PackedProject, earliest: number[], latest: number[]): void {
  for (const [one, befores] of predecessors.entries()) {
    for (const n of befores) {
      earliest[one] = Math.max(earliest[one] as number, (earliest[n] as number) + (minutes[n] as number));
    }
  }
  for (let one = successors.length - 1; one >= 0; one--) {
    for (const n of successors[one] as readonly number[]) {
      latest[one] = Math.min(latest[one] as number, (latest[n] as number) - (minutes[one] as number));
    }
  }
}
