/**
 * A genetic algorithm for the RCPSP: a small population of activity lists, each improved by justification.
 *
 * Half of the first population comes from the serial, half from the parallel scheme, with randomly disturbed LFT
 * priorities. A child as good as the worst replaces it, so that the newest of equals stay.
 */
import type { Random } from "../search/random.ts";
import { type PackedProject, pack } from "./packed_project.ts";
import type { Project, ProjectSchedule } from "./project.ts";
import { projectBound } from "./project_bound.ts";
import { byEarliestStart, justified, lastOf, parallel, priorityOrder, serial } from "./project_generation.ts";

/** Size of the population. */
const MEMBERS = 30;

/** By how much the priorities of the first population are disturbed, in percent of the longest chain. */
const LEAST_NOISE = 10;
const MOST_NOISE = 40;

/** After MOST_REPEATS schedules that were known, all but the KEPT best are replaced by new samples. */
const MOST_REPEATS = 200;
const KEPT = 2;

/** How often an order that was tried before is mutated, until it is a new one. */
const MOST_MOVED = 5;

/** Orders and schedules remembered; beyond that all are forgotten, so that memory stays bounded. */
const MOST_KNOWN = 50_000;

/** A schedule in the population: its finish, its ends by activity, and its activities by start. */
type Member = { readonly finish: number; readonly ends: readonly number[]; readonly order: readonly number[] };

/**
 * The best schedule so far, once for each schedule tried; ends when the best is proved optimal.
 *
 * Throws Refused on a precedence cycle, or a need above the capacity.
 */
export function* searchProject(project: Project, random: Random): Generator<ProjectSchedule, void> {
  const packed = pack(project);
  const bound = projectBound(project, packed);
  let best: ProjectSchedule | null = null;
  for (const member of members(packed, random)) {
    if (best === null || member.finish < best.finish) best = unpacked(packed, member, bound);
    yield best;
    if (best.finish <= bound) return;
  }
}

/** The schedule under the activities' own numbers. */
function unpacked({ number, minutes }: PackedProject, { ends, finish }: Member, bound: number): ProjectSchedule {
  const start = new Array<number>(ends.length).fill(0);
  const end = start.slice();
  for (const [now, old] of number.entries()) {
    end[old] = ends[now] as number;
    start[old] = (ends[now] as number) - (minutes[now] as number);
  }
  return { start, end, finish, bound };
}

/** Schedules without end: two by the undisturbed LFT rule, then samples, then children of the population. */
function* members(project: PackedProject, random: Random): Generator<Member, never> {
  const lft = project.tail.map((tail) => 0 - tail);
  const first = justifiedMember(project, bySerial(project, lft));
  yield first;
  const second = justifiedMember(project, parallel(project, lft));
  yield second;
  let population = second.finish < first.finish ? [second, first] : [first, second];
  const known = new Set<string>();
  let repeats = 0;
  for (;;) {
    const isSmall = population.length < MEMBERS;
    let member: Member;
    if (isSmall) {
      member = sampled(project, random);
    } else {
      const order = crossed(project, population, random);
      repeats += mutatedUntilNew(project, order, known, random);
      member = backwardForward(project, order);
    }
    yield member;
    const ends = keyOf(member.ends);
    const isKnown = known.has(ends);
    if (isKnown) {
      repeats += 1;
      if (repeats > MOST_REPEATS) {
        population = population.slice(0, KEPT);
        repeats = 0;
      }
    }
    if (isSmall || !isKnown) insert(population, member);
    if (known.size > MOST_KNOWN) known.clear();
    known.add(ends);
  }
}

/** What an order or a schedule is remembered by. */
function keyOf(numbers: readonly number[]): string {
  return numbers.join();
}

/** Put the member before the first that is no better; the worst goes if there are more than MEMBERS. */
function insert(population: Member[], member: Member): void {
  const found = population.findIndex((other) => other.finish >= member.finish);
  population.splice(found < 0 ? population.length : found, 0, member);
  population.splice(MEMBERS);
}

/** Mutate an order that was tried before until it is new, at most MOST_MOVED times; gives how often it was. */
function mutatedUntilNew(project: PackedProject, order: number[], known: Set<string>, random: Random): number {
  let mutations = 0;
  for (; known.has(keyOf(order)) && mutations < MOST_MOVED; mutations++) {
    mutate(project, order, random);
    mutate(project, order, random);
  }
  known.add(keyOf(order));
  return mutations;
}

/** A schedule as a member. */
function memberOf({ minutes }: PackedProject, ends: readonly number[]): Member {
  const start = ends.map((end, one) => end - (minutes[one] as number));
  const order = [...ends.keys()].sort((a, b) => (start[a] as number) - (start[b] as number));
  return { finish: lastOf(ends), ends, order };
}

/** A schedule, justified, as a member. */
function justifiedMember(project: PackedProject, ends: readonly number[]): Member {
  return memberOf(project, justified(project, ends));
}

/** Serial generation by least key. */
function bySerial(project: PackedProject, key: readonly number[]): number[] {
  return serial(project, priorityOrder(project, key), project.predecessors);
}

/** A schedule by randomly disturbed LFT priorities, from the parallel or the serial scheme. */
function sampled(project: PackedProject, random: Random): Member {
  const percent = LEAST_NOISE + random.below(MOST_NOISE - LEAST_NOISE + 1);
  const spread = Math.floor((lastOf(project.tail) * percent) / 100);
  const key = project.tail.map((tail) => random.around(spread) - tail);
  return justifiedMember(project, random.below(2) > 0 ? parallel(project, key) : bySerial(project, key));
}

/**
 * Two-point crossover: the beginning of one order, some activities in the order of another, the rest as in the one.
 *
 * Sometimes with up to four mutations; always when both parents are the same.
 */
function crossed(project: PackedProject, population: readonly Member[], random: Random): number[] {
  const count = project.minutes.length;
  const one = Math.min(random.below(MEMBERS), random.below(MEMBERS));
  const other = random.below(MEMBERS);
  const a = (population[one] as Member).order;
  const b = (population[other] as Member).order;
  const order = a.slice(0, random.below(count));
  const first = new Set(order);
  order.push(...b.filter((x) => !first.has(x)).slice(0, 1 + random.below(count)));
  const have = new Set(order);
  order.push(...a.filter((x) => !have.has(x)));
  if (one === other || random.below(2) > 0) {
    for (let left = 1 + random.below(4); left > 0; left--) mutate(project, order, random);
  }
  return order;
}

/** The order generated backward from its end, then justified to the left. */
function backwardForward(project: PackedProject, order: readonly number[]): Member {
  const backward = serial(project, order.slice().reverse(), project.successors);
  return memberOf(project, serial(project, byEarliestStart(backward), project.predecessors));
}

/** Move one activity of the order, in place, to somewhere between its predecessors and its successors. */
function mutate({ predecessors, successors }: PackedProject, order: number[], random: Random): void {
  const at = random.below(order.length);
  const one = order[at] as number;
  let least = 0;
  for (const x of predecessors[one] as readonly number[]) least = Math.max(least, order.indexOf(x) + 1);
  let most = order.length - 1;
  for (const x of successors[one] as readonly number[]) most = Math.min(most, order.indexOf(x) - 1);
  order.splice(at, 1);
  order.splice(least + random.below(most - least + 1), 0, one);
}
