/** What Python may ask of the page's schedule generation: many calls for one problem, each with its arguments. */
import { type CompiledProblem, compileProblem } from "../pwa/src/plan/model/compiled_problem.ts";
import { hoursOf } from "../pwa/src/plan/model/hours.ts";
import type { Schedule } from "../pwa/src/plan/model/schedule.ts";
import type { Generated, State } from "../pwa/src/plan/search/checkpoints.ts";
import { deadlockFreeOrder } from "../pwa/src/plan/search/deadlock.ts";
import { generateWithCheckpoints, type Priorities } from "../pwa/src/plan/search/parallel_generation.ts";
import { differenceBetween } from "../pwa/src/plan/search/resumption.ts";
import { latestByBackwardPass, reversedProblem } from "../pwa/src/plan/search/reversed.ts";
import { rightShifted } from "../pwa/src/plan/search/right_shift.ts";
import { generateSerial } from "../pwa/src/plan/search/serial_generation.ts";
import { generateResumed } from "../pwa/src/plan/search/serial_resumption.ts";
import type { Window } from "../pwa/src/wire.gen.ts";

/** Values, setup weight, longest idle time and weight of craft. */
type Weighed = readonly [readonly number[], number, number, number];

// biome-ignore lint/suspicious/noExplicitAny: each call has arguments of its own
const CALLS: Readonly<Record<string, (compiled: CompiledProblem, ...given: any[]) => unknown>> = {
  parallel: (compiled, weighed: Weighed, latest: number[], mostLate: number, windows: Window[] | null) => {
    const hours = windows ? hoursOf(windows, compiled.start) : compiled.hours;
    return generatedTold(generateWithCheckpoints(compiled, hours, priorities(weighed), latest, mostLate));
  },
  resumed,
  serial: (compiled, order: number[], delays: [number, number][]) =>
    scheduleTold(generateSerial(compiled, order, new Map(delays))),
  resumed_serially: resumedSerially,
  shifted: (compiled, weighed: Weighed, latest: number[]) => {
    const found = generateWithCheckpoints(compiled, compiled.hours, priorities(weighed), latest);
    return found && scheduleTold(rightShifted(compiled, found.schedule));
  },
  backward: (compiled, weighed: Weighed, due: number[]) =>
    latestByBackwardPass(compiled, reversedProblem(compiled), due, priorities(weighed)),
  deadlock_free: (compiled) => deadlockFreeOrder(compiled),
};

/** What each call gives, in their order. */
export function generations(problem: Parameters<typeof compileProblem>[0], calls: [string, ...unknown[]][]): unknown[] {
  const compiled = compileProblem(problem);
  return calls.map(([name, ...given]) => CALLS[name]?.(compiled, ...given));
}

/** Generated once, and then again for each of the others from what the one before gave, as far as all is placed. */
function resumed(compiled: CompiledProblem, first: Weighed, others: Weighed[], latest: number[], mostLate: number) {
  const told: unknown[] = [];
  let old = priorities(first);
  let at = generateWithCheckpoints(compiled, compiled.hours, old, latest);
  for (const weighed of others) {
    if (!at || at.schedule.unplaced > 0) break;
    const by = priorities(weighed);
    const difference = differenceBetween(compiled, old, by, at);
    told.push(difference && [difference.first, difference.last]);
    if (difference === null) continue;
    const limited = generateWithCheckpoints(compiled, compiled.hours, by, latest, mostLate, difference);
    told.push(generatedTold(limited));
    at = generateWithCheckpoints(compiled, compiled.hours, by, latest, undefined, difference);
    told.push(generatedTold(at));
    old = by;
  }
  return told;
}

/** By order and delays, what comes of them, made from the last before it that was allowed, and the states between. */
function resumedSerially(compiled: CompiledProblem, orders: [number[], [number, number][]][]) {
  let at: ReturnType<typeof generateResumed> = null;
  return orders.map(([order, delays]) => {
    const found = generateResumed(compiled, { order, delays: new Map(delays) }, at);
    at = found ?? at;
    const between = found?.between.map((x) => [x.now, x.free, x.changes, x.standing, x.busy]);
    return found && [scheduleTold(found.schedule), between];
  });
}

function priorities([values, setupWeight, mostIdle, craft]: Weighed): Priorities {
  return { values, setupWeight, mostIdle, craft };
}

function generatedTold(found: Generated | null): unknown {
  if (found === null) return null;
  const checkpoints = found.checkpoints.map((x) => [x.place, x.changes, x.lateness, stateTold(x.state)]);
  return [scheduleTold(found.schedule), found.costs, checkpoints, found.step];
}

function scheduleTold(schedule: Schedule | null): unknown {
  if (schedule === null) return null;
  const { order, start, end, finish, changes, lateness, unplaced } = schedule;
  return [order, start, end, finish, changes, lateness, unplaced];
}

/** As Python has it: what is eligible is in a list, what is placed waits for nothing, and nothing is sooner than now. */
function stateTold(state: State): unknown {
  const eligible = state.waits.flatMap((left, i) => (left === 0 ? [i] : []));
  const waits = state.waits.map((left) => Math.max(0, left));
  const { now, window, free, standing, here, due, wanted } = state;
  const later = (moment: number) => Math.max(now, moment);
  const [busy, ready, wetUntil] = [state.busy.map(later), state.ready.map(later), later(state.wetUntil)];
  return [now, window, free, eligible, standing, busy, waits, ready, here, due, wetUntil, wanted];
}
