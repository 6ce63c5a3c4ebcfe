/** The moves of the local search: each changes the priorities a little; tables say how often each is tried. */
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { bisectRight } from "../model/hours.ts";
import { closure } from "../model/precedence.ts";
import type { Schedule } from "../model/schedule.ts";
import type { Generated } from "./checkpoints.ts";
import { prioritiesOf, soonestFirst } from "./initial.ts";
import type { Priorities } from "./parallel_generation.ts";
import type { Random } from "./random.ts";
import { latestByBackwardPass } from "./reversed.ts";
import { twoAlike } from "./setup_runs.ts";

const SETUP_WEIGHTS = [0, 1, 2, 4, 8, 16, 30];
const MOST_IDLE = [0, 0, 5, 15, 30, 60, 90];
const CRAFT_WEIGHTS = [0, 1, 4, 4, 16];

/** Operations after a closing time among which one is looked for that fits before it. */
const MOST_BEHIND = 40;

/**
 * The solution that moves start from: its priorities, its schedule, and the target that it is compared with.
 *
 * reverse: the reversed problem. due: by operation, when it should be done for the target; latest: the latest starts that
 * follow from that. In minutes. generated: what the priorities make before any right shift, null if not kept.
 */
export type Incumbent = {
  readonly compiled: CompiledProblem;
  readonly reverse: CompiledProblem;
  readonly random: Random;
  readonly due: readonly number[];
  readonly latest: readonly number[];
  priorities: Priorities;
  schedule: Schedule;
  generated: Generated | null;
};

/** Gives slightly other priorities than those of the incumbent. */
type Move = (at: Incumbent) => Priorities;

/** One to three random operations get a greater or smaller value. */
export function nudge({ random, priorities }: Incumbent): Priorities {
  const values = [...priorities.values];
  const spread = random.oneOf([60, 240, 720]);
  for (let left = 1 + random.below(3); left > 0; left--) {
    const i = random.below(values.length);
    values[i] = (values[i] as number) + random.around(spread);
  }
  return { ...priorities, values };
}

/** A random late operation and all its predecessors, direct and indirect, get a greater value. */
export function lift({ compiled, random, priorities, schedule, latest }: Incumbent): Priorities {
  const values = [...priorities.values];
  const late = schedule.start.flatMap((start, i) => (start > (latest[i] as number) ? [i] : []));
  const i = late.length > 0 ? random.oneOf(late) : random.below(values.length);
  const more = 1 + random.below(random.oneOf([60, 240, 720]));
  for (const n of withPredecessors(compiled, [i])) values[n] = (values[n] as number) + more;
  return { ...priorities, values };
}

/** These operations, and all their predecessors, direct and indirect. */
export function withPredecessors(compiled: CompiledProblem, ops: readonly number[]): ReadonlySet<number> {
  return closure(
    ops,
    compiled.predecessors.map((pairs) => pairs.map(([before]) => before)),
  );
}

/** Two consecutive operations of the schedule exchange their order of value. */
export function swap({ random, priorities, schedule: { order } }: Incumbent): Priorities {
  if (order.length < 2) return priorities;
  const values = [...priorities.values];
  const place = random.below(order.length - 1);
  const [a, b] = [order[place] as number, order[place + 1] as number];
  const [one, other] = [values[a] as number, values[b] as number];
  values[a] = Math.min(one, other) - 1;
  values[b] = Math.max(one, other) + 1;
  return { ...priorities, values };
}

/** The values of 4 to 14 consecutive operations are disturbed at random. */
export function shake({ random, priorities, schedule: { order } }: Incumbent): Priorities {
  const values = [...priorities.values];
  const length = Math.min(order.length, 4 + random.below(11));
  const first = random.below(order.length - length + 1);
  const spread = random.oneOf([60, 240, 480]);
  for (const i of order.slice(first, first + length)) values[i] = (values[i] as number) + random.around(spread);
  return { ...priorities, values };
}

/** All operations of a random piece get the same greater or smaller value. */
export function shift({ compiled: { piece }, random, priorities }: Incumbent): Priorities {
  const chosen = piece[random.below(priorities.values.length)];
  const more = random.around(600);
  const values = priorities.values.map((value, i) => (piece[i] === chosen ? value + more : value));
  return { ...priorities, values };
}

/** A random operation gets nearly the value of another one with the same setup, so that they share the setup. */
export function gather({ compiled: { setup, station }, random, priorities }: Incumbent): Priorities {
  const values = [...priorities.values];
  const i = random.below(values.length);
  const isAlike = (n: number) => setup[n] === setup[i] && station[n] === station[i] && n !== i;
  const alike = (setup[i] as number) < 0 ? [] : [...values.keys()].filter(isAlike);
  if (alike.length > 0) values[i] = (values[random.oneOf(alike)] as number) + random.around(5);
  return { ...priorities, values };
}

/**
 * Two runs of one setup come together: the later one sooner, with all its predecessors, or the sooner one later.
 *
 * Where no setup has two, a nudge.
 */
function join(at: Incumbent): Priorities {
  const { compiled, random, priorities } = at;
  const pair = twoAlike(compiled, at.schedule.order, random);
  if (pair === null) return nudge(at);
  const values = [...priorities.values];
  const [first, second] = pair;
  if (random.below(2) > 0) {
    const value = values[first.at(-1) as number] as number;
    for (const n of withPredecessors(compiled, second)) values[n] = Math.max(values[n] as number, value + 1);
  } else {
    const value = values[second[0] as number] as number;
    for (const i of first) values[i] = Math.min(values[i] as number, value);
  }
  return { ...priorities, values };
}

/**
 * Closing time: where hands are idle before it, a random operation gives way to a longer one that comes later.
 *
 * Where none fits, a nudge.
 */
function fill(at: Incumbent): Priorities {
  const { random, priorities } = at;
  const { minutes, hours } = at.compiled;
  const { order, start, end } = at.schedule;
  const place = random.below(order.length);
  const short = order[place] as number;
  const close = hours.closes[bisectRight(hours.opens, start[short] as number) - 1] as number;
  let behind = place + 1;
  while (behind < order.length && (start[order[behind] as number] as number) < close) behind += 1;
  const idle = close - (end[order[behind - 1] as number] as number);
  const longer = order.slice(behind, behind + MOST_BEHIND).filter((i) => {
    const more = (minutes[i] as number) - (minutes[short] as number);
    return more > 0 && more <= idle;
  });
  if (longer.length === 0) return nudge(at);
  const i = random.oneOf(longer);
  const values = [...priorities.values];
  const [one, other] = [values[i] as number, values[short] as number];
  values[i] = Math.max(one, other) + 1;
  values[short] = Math.min(one, other);
  return { ...priorities, values };
}

/** Values from a backward pass: latest starts of the reversed problem, which does first what ends last here. */
function backward({ compiled, reverse, random, due, latest, priorities, schedule }: Incumbent): Priorities {
  const lastFirst = prioritiesOf(schedule.end, priorities.setupWeight, random.oneOf(MOST_IDLE));
  return { ...priorities, values: soonestFirst(latestByBackwardPass(compiled, reverse, due, lastFirst) ?? latest) };
}

/** Values from the latest starts for the target, disturbed at random; nothing of the incumbent's values is kept. */
export function restart({ random, latest, priorities }: Incumbent): Priorities {
  const spread = random.oneOf([30, 120, 360]);
  return { ...priorities, values: latest.map((start) => random.around(spread) - start) };
}

/** The same values with another weight for setting up, another longest idle time, and another weight of craft. */
export function reweight({ compiled, random, priorities }: Incumbent): Priorities {
  const setupWeight = random.oneOf(SETUP_WEIGHTS);
  const mostIdle = random.oneOf(MOST_IDLE);
  const craft = compiled.craft ? random.oneOf(CRAFT_WEIGHTS) : priorities.craft;
  return { values: priorities.values, setupWeight, mostIdle, craft };
}

/** Moves, and in percent of tries, how often each is tried. */
export type MoveTable = readonly (readonly [percent: number, move: Move])[];

/** While an earlier finish is looked for; measured on generated shops. */
export const TO_FINISH: MoveTable = [
  [27, nudge],
  [8, lift],
  [10, swap],
  [12, shake],
  [5, shift],
  [5, backward],
  [3, restart],
  [7, reweight],
  [8, fill],
  [15, join],
];

/** While fewer setup changes at the same finish are looked for. */
export const TO_SAVE_SETUPS: MoveTable = [
  [50, join],
  [20, nudge],
  [12, swap],
  [10, shake],
  [8, reweight],
];

/** A hundred moves to draw from, each as often as the table's percent say. */
export function repeated(table: MoveTable): readonly Move[] {
  return table.flatMap(([percent, move]) => new Array<Move>(percent).fill(move));
}
