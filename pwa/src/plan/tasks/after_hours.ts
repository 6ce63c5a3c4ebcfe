/**
 * After hours: whoever has just recorded something is there, whatever the shop's hours are.
 *
 * Twin of plan/tasks/after_hours.py, where the reasons stand.
 */
import { MINUTE_MS } from "../../durations.ts";
import type { Op } from "../../wire.gen.ts";
import { hurries } from "./craft.ts";
import { type Calendar, type Worker, windowsOf } from "./hours.ts";
import { clockSpec, keyOf, type OpenBuild, type Task, type Tasks } from "./task.ts";

/** Minutes after the last mark for which its maker is taken to be there still. Common practice, no source. */
const STAYS = 60;

/** Times the minutes of what is in hand that the stretch has room for: a shop may be slower than its recipes. */
const ROOM = 2;

/**
 * The stretch from now on, in minutes from now. until: its end. opens: when the shop does. keys: tasks done in it.
 *
 * stations: where these are done.
 */
export type AfterHours = {
  readonly until: number;
  readonly opens: number;
  readonly keys: ReadonlySet<string>;
  readonly stations: ReadonlySet<string>;
};

/**
 * The stretch; null while the shop is open, nobody is there, or no clock asks for hands.
 *
 * opens: minutes until the shop does, 0 while it is open. now, last: server time in ms, of the last mark.
 */
export function afterHours(
  builds: readonly OpenBuild[],
  tasks: Tasks,
  opens: number,
  now: number,
  last: number | null,
): AfterHours | null {
  if (!opens || last === null || now - last > STAYS * MINUTE_MS) return null;
  const pressing = new Map(builds.flatMap((build) => pressingTasks(build, tasks, now)));
  if (!pressing.size) return null;
  const found = [...pressing.keys()].flatMap((key) => tasks.get(key) ?? []);
  const minutes = found.reduce((sum, task) => sum + task.minutes, 0); // hands may be at another one first
  const stations = found.filter(({ act }) => act === "work").map(({ operation }) => operation.station);
  const until = Math.min(Math.max(...pressing.values()) + minutes, opens);
  return { until, opens, keys: new Set(pressing.keys()), stations: new Set(stations) };
}

/** What a clock asks hands for, each task's key with the minute from now at which that is over. */
function pressingTasks(build: OpenBuild, tasks: Tasks, now: number): readonly (readonly [string, number])[] {
  return build.sheet.operations.flatMap((op): (readonly [string, number])[] => {
    const clocks = build.running.filter(({ operation }) => operation === op.id);
    const [work, clean] = [keyOf(build.id, op.id), keyOf(build.id, op.id, "squeeze-out")];
    const inHand = tasks.get(work);
    if (inHand?.begun && clocks.some(({ kind }) => hurries(kind))) {
      const done = ROOM * inHand.minutes;
      const most = clockSpec(op, "squeeze-out")?.most_ms ?? null;
      const cleaned = done + Math.floor((most ?? 0) / MINUTE_MS);
      return [[work, done], ...(tasks.has(clean) && most !== null ? [[clean, cleaned] as const] : [])];
    }
    const most = clocks.findLast(({ kind }) => kind === "squeeze-out")?.most ?? null;
    return tasks.has(clean) && most !== null && most >= now ? [[clean, Math.ceil((most - now) / MINUTE_MS)]] : [];
  });
}

/** When something was last recorded of an operation, or a station was set up, server time in ms; null if never. */
export function lastMark(builds: readonly OpenBuild[]): number | null {
  let last: number | null = null;
  for (const { bench } of builds) {
    const marks = Object.values(bench.operations).flatMap((state) => Object.values(state.marks));
    const setups = Object.values(bench.stations).map(({ ms }) => ms);
    for (const ms of [...marks, ...setups]) last = Math.max(last ?? ms, ms);
  }
  return last;
}

/** Minutes until hours begin, anybody's where somebody is named; 0 while they last. now: server time in ms. */
export function nextOpening(calendar: Calendar, workers: readonly Worker[], now: number): number {
  const whose = workers.length ? workers.map(({ hours }) => hours) : [calendar];
  const starts = whose.flatMap((hours) => windowsOf(hours, 1, now).slice(0, 1)).map(({ start }) => start);
  return starts.length ? Math.min(...starts) : 0;
}

/** The tasks, of which only those of the stretch count as begun: what else is in hand lies until the shop opens. */
export function onlyPressing(tasks: Tasks, { keys }: AfterHours): Tasks {
  const kept = ([key, task]: [string, Task]): [string, Task] => [key, keys.has(key) ? task : { ...task, begun: false }];
  return new Map([...tasks].map(kept));
}

/** The operations, of which all that are not the stretch's begin when the shop opens, or later. */
export function waitingForHours(ops: readonly Op[], { keys, opens }: AfterHours): readonly Op[] {
  return ops.map((op) => (keys.has(op.id) ? op : { ...op, ready: Math.max(op.ready, opens) }));
}

/** The hours of somebody who is there. now: server time in ms. */
export function withStretch(hours: Calendar, { until }: AfterHours, now: number): Calendar {
  return (minutes) => [[now, now + until * MINUTE_MS], ...hours(minutes)];
}

/** The workers, of whom the first who may do all of it is there. now: server time in ms. */
export function withOneThere(workers: readonly Worker[], stretch: AfterHours, now: number): readonly Worker[] {
  const there = workers.findIndex(({ unable }) => !unable.some((station) => stretch.stations.has(station)));
  return workers.map((one, n) => (n === there ? { ...one, hours: withStretch(one.hours, stretch, now) } : one));
}
