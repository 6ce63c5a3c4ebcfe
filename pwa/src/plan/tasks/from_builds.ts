/**
 * From open builds to a planning problem. Minute 0 is now; clocks that run keep their own times.
 *
 * Twin of plan/tasks/from_builds.py, but for its sentences: those are the server's.
 */
import { compareText } from "../../bench/book.ts";
import { settingOf } from "../../bench/standing.ts";
import { isUnclamped } from "../../bench/unclamped.ts";
import { MINUTE_MS } from "../../durations.ts";
import { CRAFT } from "../../tables.gen.ts";
import type { Clock, ClockSpec, Hold, Link, Op, Operation, Problem } from "../../wire.gen.ts";
import {
  type AfterHours,
  afterHours,
  lastMark,
  nextOpening,
  onlyPressing,
  waitingForHours,
  withOneThere,
  withStretch,
} from "./after_hours.ts";
import { blockedOperations } from "./blocked.ts";
import { FITTED, fitsFor, hurries, isFiddly, LEFT_ON, lastStation, throwsDust, wetFor, wetUntil } from "./craft.ts";
import { fixtureCounts, fixtureHolds } from "./fixtures.ts";
import { type Calendar, crewHours, type Worker, windowsOf } from "./hours.ts";
import { type Gone, minutesLeft, noneGone } from "./minutes.ts";
import { stationsOf } from "./stations.ts";
import {
  clockSpec,
  clockStartKey,
  keyOf,
  lastKey,
  type OpenBuild,
  operationsOf,
  SQUEEZE_OUT_MINUTES,
  stateIn,
  type Task,
  type Tasks,
  tasksOf,
} from "./task.ts";

/** How many of each there are, by name. */
export type Counts = Readonly<Record<string, number>>;

/** Minutes of setting up for each operation, when enough hours are asked for. */
const SETUP_ALLOWANCE = 30;

/** Open minutes of a working week. */
const WEEK = 40 * 60;

/** The problem of open builds. tasks: by the id of the problem's operations. */
export type BuildsProblem = { readonly problem: Problem; readonly tasks: Tasks };

/**
 * The problem of all tasks that are left. clamps: by kind; a kind not named is never short. now: server time in ms.
 *
 * fixtures: how many the shop has of its own, by name. finishingRoom: coats dry where no dust gets. gone: how long work
 * has been in hand. workers: who works here; `calendar` and `hands` count only where nobody is named. What is to be
 * measured again, and all that comes after it, is left out. After hours, what a clock drives is done all the same.
 */
export function problemFromBuilds(
  builds: readonly OpenBuild[],
  calendar: Calendar,
  clamps: Counts,
  now: number,
  hands = 1,
  fixtures: Counts = {},
  finishingRoom = false,
  gone: Gone = noneGone,
  workers: readonly Worker[] = [],
): BuildsProblem {
  const left = tasksLeft(builds, gone);
  const stretch = afterHours(builds, left, nextOpening(calendar, workers, now), now, lastMark(builds));
  const tasks = stretch ? onlyPressing(left, stretch) : left;
  const ops = opsOf(builds, tasks, now, finishingRoom, stretch);
  const links = builds.flatMap((build) => [...linksOf(build, tasks)]);
  const enough = enoughMinutes(ops, links);
  const { windows, crew } = workers.length
    ? crewHours(stretch ? withOneThere(workers, stretch, now) : workers, enough, now)
    : { windows: windowsOf(stretch ? withStretch(calendar, stretch, now) : calendar, enough, now), crew: [] };
  const holds = [holdsOf, fixtureHolds].flatMap((of) => builds.flatMap((build) => of(build, tasks)));
  const problem: Problem = {
    start: 0,
    windows,
    stations: stationsOf(builds, tasks),
    clamps: clampCounts(holds, { ...clamps, ...fixtureCounts(builds, fixtures) }, tasks),
    ops,
    links,
    holds,
    hands: crew.length || hands,
    craft: CRAFT,
    here: lastStation(builds),
    wet_until: finishingRoom ? 0 : Math.max(0, wetUntil(builds, now)),
    crew,
  };
  return { problem, tasks };
}

/** All tasks that are left and not blocked, by key. */
function tasksLeft(builds: readonly OpenBuild[], gone: Gone): Tasks {
  const found = builds.flatMap((build) => {
    const blocked = blockedOperations(build);
    const able = build.sheet.operations.filter(({ id }) => !blocked.has(id));
    return able.flatMap((op) => tasksOf(build, op, minutesLeft(op, stateIn(build, op.id), gone)));
  });
  return new Map(found.map((task) => [task.key, task]));
}

/** The tasks as operations of the problem, in their order; after hours those that no clock drives wait. */
function opsOf(
  builds: readonly OpenBuild[],
  tasks: Tasks,
  now: number,
  finishingRoom: boolean,
  stretch: AfterHours | null,
): readonly Op[] {
  const byId = new Map(builds.map((build) => [build.id, build]));
  const ops = [...tasks.values()].map((task) => opOf(task, byId.get(task.build) as OpenBuild, now, finishingRoom));
  return stretch ? waitingForHours(ops, stretch) : ops;
}

/** Open minutes in which even a poor plan is done: a spare week, all work twice, and the longest chain of lags. */
function enoughMinutes(ops: readonly Op[], links: readonly Link[]): number {
  const work = ops.reduce((sum, { minutes }) => sum + SETUP_ALLOWANCE + minutes, 0);
  const ready = ops.reduce((most, op) => Math.max(most, op.ready), 0);
  return WEEK + 2 * work + ready + longestLags(links);
}

/** The greatest sum of minimal lags along any chain, in minutes. links: in topological order. */
function longestLags(links: readonly Link[]): number {
  const waits = new Map<string, number>();
  for (const { before, after, lag } of links)
    waits.set(after, Math.max(waits.get(after) ?? 0, (waits.get(before) ?? 0) + lag));
  return [...waits.values()].reduce((most, wait) => Math.max(most, wait), 0);
}

/** The task as an operation of the problem. now: server time in ms. finishingRoom: dust does not get at coats. */
function opOf(task: Task, build: OpenBuild, now: number, finishingRoom: boolean): Op {
  const { act, begun, operation: op } = task;
  const isWork = act === "work";
  const { ready, by } = startWindow(task, build, now);
  return {
    id: task.key,
    minutes: task.minutes,
    runs: 0,
    station: isWork ? op.station : "",
    setup: isWork && !begun ? settingOf(build.sheet, op) : "",
    ready,
    breakable: isWork && op.breakable === true,
    begun,
    piece: build.id,
    due: build.due === null ? null : Math.floor((build.due - now) / MINUTE_MS),
    weight: build.weight,
    by,
    dusty: throwsDust(task),
    wet: finishingRoom ? 0 : wetFor(task),
    fiddly: isFiddly(task),
  };
}

/** The earliest and the latest start by the clocks that run, in minutes from now; `by` is null without a latest one. */
function startWindow(task: Task, build: OpenBuild, now: number): Pick<Op, "ready" | "by"> {
  const { act, begun, minutes } = task;
  const clocks = build.running.filter((clock) => waitsFor(task, clock));
  const ready = clocks.flatMap(({ least }) => (least === null ? [] : [Math.ceil((least - now) / MINUTE_MS)]));
  const latest = clocks
    .flatMap(({ most }) => (most === null ? [] : [Math.floor((most - now) / MINUTE_MS)]))
    .filter((by) => act !== "squeeze-out" || by >= 0) // cleaned late as well: nothing is gained by being quick then
    .map((by) => (act === "squeeze-out" || begun ? by - minutes : by)); // it is to be over by then
  return { ready: Math.max(0, ...ready), by: latest.length ? Math.max(0, Math.min(...latest)) : null };
}

/** Whether a running clock says when the task may start: one of its own, or before work begins one that holds it. */
function waitsFor({ act, begun, operation: op }: Task, { operation, kind }: Clock): boolean {
  if (act === "work" && !begun) return op.holds.some((hold) => hold.operation === operation && hold.clock === kind);
  if (operation !== op.id) return false;
  return act === "work" ? hurries(kind) : kind === (act === "clamps-off" ? "in-clamps" : "squeeze-out");
}

/** Precedences with time lags between the build's tasks, in topological order. */
function* linksOf(build: OpenBuild, tasks: Tasks): Generator<Link> {
  const ops = operationsOf(build);
  for (const op of build.sheet.operations) {
    const work = keyOf(build.id, op.id);
    if (tasks.get(work)?.begun === false) yield* linksBefore(build, op, ops, tasks);
    yield* linksOfActs(build, op, tasks);
  }
}

/** What must be over before the work on an operation begins. ops: the build's, by id. */
function* linksBefore(
  build: OpenBuild,
  op: Operation,
  ops: ReadonlyMap<string, Operation>,
  tasks: Tasks,
): Generator<Link> {
  const work = keyOf(build.id, op.id);
  for (const id of op.after) {
    const before = ops.get(id);
    const last = before && lastKey(build.id, before);
    if (!last || !tasks.has(last)) continue;
    const soon = fitsFor(before, op);
    yield { ...linkBetween(last, work), wanted: soon ? FITTED : null, wanted_open: soon };
  }
  for (const { operation, clock } of op.holds) {
    const from = ops.get(operation);
    const spec = clockSpec(from, clock);
    if (!from || !spec || spec.starts in stateIn(build, operation).marks) continue; // its own times count then
    const key = clockStartKey(build.id, from, spec);
    if (tasks.has(key)) yield linkOf(key, work, spec);
  }
}

/** Between the tasks of one glue-up: gluing, cleaning its squeeze-out off, taking its clamps off. */
function* linksOfActs(build: OpenBuild, op: Operation, tasks: Tasks): Generator<Link> {
  const [work, clean, off] = (["work", "squeeze-out", "clamps-off"] as const).map((act) => {
    const key = keyOf(build.id, op.id, act);
    return tasks.has(key) ? key : null;
  });
  const [rubbery, clamping] = [clockSpec(op, "squeeze-out"), clockSpec(op, "in-clamps")];
  if (clean && work && rubbery) {
    const { lag, most, ...link } = linkOf(work, clean, rubbery);
    const wanted = most === null ? null : Math.max(lag, most - SQUEEZE_OUT_MINUTES);
    yield { ...link, lag, most: null, wanted };
  }
  if (clean && off) yield linkBetween(clean, off);
  if (work && off && clamping) {
    const link = linkOf(work, off, clamping);
    yield isUnclamped(op) ? link : { ...link, wanted: link.lag + LEFT_ON, wanted_open: true };
  }
}

/** A clock as a link: its least time is the minimal lag, its most time, where it has one, the maximal lag. */
function linkOf(before: string, after: string, { least_ms, most_ms }: ClockSpec): Link {
  const most = most_ms === null ? null : Math.floor(most_ms / MINUTE_MS);
  return { ...linkBetween(before, after), lag: Math.ceil((least_ms ?? 0) / MINUTE_MS), most };
}

function linkBetween(before: string, after: string): Link {
  return { before, after, lag: 0, most: null, wanted: null, wanted_open: false };
}

/** The clamps that each glue-up of the build will take, or has taken already. */
function holdsOf(build: OpenBuild, tasks: Tasks): readonly Hold[] {
  return build.sheet.operations.flatMap((op) => {
    const [work, off] = [keyOf(build.id, op.id), keyOf(build.id, op.id, "clamps-off")];
    if (!tasks.has(off) || "clamps-off" in stateIn(build, op.id).marks) return [];
    const take = tasks.has(work) ? work : "";
    return Object.entries(op.clamps ?? {}).map(([kind, count]) => ({ kind, count, take, give: off }));
  });
}

/**
 * How many clamps and fixtures there are, by kind; at least as many as are in use, whatever the shop says it has.
 *
 * What is begun has its clamps and fixtures in use.
 */
function clampCounts(holds: readonly Hold[], clamps: Counts, tasks: Tasks): Counts {
  const used = new Map<string, number>();
  const everything = new Map<string, number>();
  for (const { kind, count, take } of holds) {
    const inUse = !take || tasks.get(take)?.begun ? count : 0;
    used.set(kind, (used.get(kind) ?? 0) + inUse);
    everything.set(kind, (everything.get(kind) ?? 0) + count);
  }
  const kinds = [...used.keys()].sort(compareText);
  const countOf = (kind: string) => Math.max(used.get(kind) ?? 0, clamps[kind] ?? everything.get(kind) ?? 0);
  return Object.fromEntries(kinds.map((kind) => [kind, countOf(kind)]));
}
