/**
 * Which clocks run at a moment, what is due, and what should ring. Moments are server time in whole ms.
 *
 * Twin of bench/clocks.py, where the reasons stand.
 */
import { DAY_MS } from "../durations.ts";
import type { Again, Bench, Clock, ClockSpec, Operation, OperationState, Reading, Ring, Sheet } from "../wire.gen.ts";
import { isWait, reckoned } from "./air.ts";
import { compareText } from "./book.ts";
import { againStage, CLOCKS, type Edge, isReminder, TOO_COLD_STAGE } from "./clock_kinds.ts";

/**
 * Every clock that runs, or is due, at `now`: soonest moment first. readings: earliest first.
 *
 * Of a build put away unfinished only those that run on.
 */
export function clocks(sheet: Sheet, bench: Bench, readings: readonly Reading[], now: number): readonly Clock[] {
  const begun = begunAfter(sheet, bench);
  const running = sheet.operations.flatMap((op) =>
    op.clocks.flatMap((spec) => {
      const state = bench.operations[op.id];
      const runs = !bench.closed || isReminder(spec.kind);
      return state && runs ? (clockOf(sheet, op, spec, state, readings, now, begun) ?? []) : [];
    }),
  );
  return running.sort(soonestFirst);
}

/** A clock that runs in a build. */
export type BuildClock = Clock & { readonly build: string };

type Kept = { readonly id: string; readonly sheet: Sheet; readonly bench: Bench };

/** The clocks of several builds, soonest moment first, whichever build they are of. */
export function clocksOfAll(builds: readonly Kept[], readings: readonly Reading[], now: number): readonly BuildClock[] {
  return builds
    .flatMap(({ id, sheet, bench }) => clocks(sheet, bench, readings, now).map((clock) => ({ ...clock, build: id })))
    .sort(soonestFirst);
}

function soonestFirst(a: Clock, b: Clock): number {
  return moment(a) - moment(b) || compareText(a.operation, b.operation) || compareText(a.kind, b.kind);
}

/** When the clock next wants something: the end of its wait, or its deadline. */
export function moment(clock: Clock): number {
  if (clock.phase === "running" && clock.least !== null) return clock.least;
  return clock.most ?? clock.least ?? clock.started;
}

/** By "operation|clock", for clocks that hold others back: whether all of those have begun. */
function begunAfter(sheet: Sheet, bench: Bench): ReadonlyMap<string, boolean> {
  const begun = new Map<string, boolean>();
  for (const op of sheet.operations)
    for (const hold of op.holds) {
      const key = `${hold.operation}|${hold.clock}`;
      const isBegun = Object.keys(bench.operations[op.id]?.marks ?? {}).length > 0;
      begun.set(key, (begun.get(key) ?? true) && isBegun);
    }
  return begun;
}

/** The clock, when it has started and not ended. */
function clockOf(
  { figures }: Sheet,
  op: Operation,
  spec: ClockSpec,
  state: OperationState,
  readings: readonly Reading[],
  now: number,
  begun: ReadonlyMap<string, boolean>,
): Clock | null {
  const started = state.marks[spec.starts];
  const stamp = state.stamps?.[spec.starts];
  if (started === undefined || stamp === undefined || isEnded(op, spec, state, stamp, begun)) return null;
  const { ms, ...air } = reckoned(figures, spec, state, started, readings, now);
  const least = isWait(spec) ? started + ms + (state.lengthened[spec.kind] ?? 0) : null;
  const counted = !isWait(spec) ? started + ms : spec.most_ms === null ? null : started + spec.most_ms;
  if (isOver(op, spec, state, stamp, least, begun, now)) return null;
  const { clock: server_clock = "steady", unsure_ms = null } = state.unsteady?.[spec.starts] ?? {};
  const most =
    counted === null || unsure_ms === null ? counted : Math.min(counted, Math.max(least ?? started, unsure_ms));
  const phase = air.too_cold && isWait(spec) ? "running" : phaseAt(least, most, now);
  return { operation: op.id, kind: spec.kind, started, stamp, least, most, phase, ...air, server_clock };
}

/** A clock that no mark ends and nothing waits for is over once its ring was heard. */
function isOver(
  op: Operation,
  spec: ClockSpec,
  state: OperationState,
  stamp: number,
  least: number | null,
  begun: ReadonlyMap<string, boolean>,
  now: number,
): boolean {
  const isWaitedFor = begun.has(`${op.id}|${spec.kind}`);
  return !spec.ends.length && !isWaitedFor && least !== null && now >= least && isHeard(spec, state, stamp);
}

/**
 * Ended by a mark of its own, or, where it has none, by what waited for it having begun.
 *
 * A mere deadline is over with its operation.
 */
function isEnded(
  op: Operation,
  spec: ClockSpec,
  state: OperationState,
  stamp: number,
  begun: ReadonlyMap<string, boolean>,
): boolean {
  if (!spec.ends.length) return begun.get(`${op.id}|${spec.kind}`) ?? false;
  const ends = isWait(spec) ? spec.ends : [...spec.ends, "finished"];
  return ends.some((kind) => (state.stamps?.[kind] ?? -1) >= stamp);
}

/** Whether the clock's ring was acknowledged since it started. */
function isHeard(spec: ClockSpec, state: OperationState, stamp: number): boolean {
  return state.heard.some((ring) => ring.startsWith(`${spec.kind}|`) && ring.endsWith(`|${stamp}`));
}

/** Where the moment stands between the end of the wait and the deadline. */
function phaseAt(least: number | null, most: number | null, now: number): Clock["phase"] {
  if (most !== null && now >= most) return "late";
  return least !== null && now >= least ? "due" : "running";
}

/**
 * All that the clock rings for, earliest first, past or to come.
 *
 * Of repeats without end: those of the last day before `now`, and the next.
 */
export function rings(clock: Clock, now: number): readonly Ring[] {
  const row = CLOCKS[clock.kind];
  const found = row.rings.flatMap(({ stage, edge, offset_ms = 0 }) => {
    const from = edgeOf(clock, edge);
    if (from === null || (offset_ms && from + offset_ms <= begins(clock))) return [];
    return [ringOf(clock, clock.too_cold && edge === "least" ? TOO_COLD_STAGE : stage, from + offset_ms)];
  });
  const repeated = row.again && clock.least !== null ? repeats(clock, row.again, clock.least, now) : [];
  return [...found, ...repeated].sort((a, b) => a.at - b.at);
}

function ringOf({ operation, kind, stamp }: Clock, stage: string, at: number): Ring {
  return { operation, kind, stage, name: `${kind}|${stage}|${stamp}`, at };
}

/** The rings after the last stage: the first repeats, then one after the other at the same distance. */
function repeats(clock: Clock, { offsets_ms, then_each_ms: each }: Again, least: number, now: number): readonly Ring[] {
  const first = offsets_ms.map((offset, n) => ringOf(clock, againStage(n + 1), least + offset));
  const last = least + (offsets_ms.at(-1) ?? 0);
  const from = Math.max(1, Math.floor((now - DAY_MS - last) / each));
  const coming = Math.max(0, Math.floor((now - last) / each)) + 1;
  const further = Array.from({ length: coming - from + 1 }, (_, n) =>
    ringOf(clock, againStage(offsets_ms.length + from + n), last + (from + n) * each),
  );
  return [...first, ...further];
}

/** From when on it may warn of its deadline: once there is something to be done. */
function begins(clock: Clock): number {
  return clock.least ?? clock.started;
}

/** The moment a ring is counted from. */
function edgeOf(clock: Clock, edge: Edge): number | null {
  if (edge === "middle")
    return clock.most === null ? null : clock.started + Math.floor((clock.most - clock.started) / 2);
  return clock[edge];
}

/** What should be ringing: of each clock the latest ring that is due, unless it was heard. */
export function ringing(bench: Bench, running: readonly Clock[], now: number): readonly Ring[] {
  const due = running.flatMap((clock) => {
    const last = rings(clock, now).findLast((ring) => ring.at <= now);
    return last && !bench.operations[clock.operation]?.heard.includes(last.name) ? [last] : [];
  });
  return due.sort((a, b) => a.at - b.at || compareText(a.operation, b.operation));
}

/** Clocks that keep this operation from beginning yet. */
export function heldBy(op: Operation, running: readonly Clock[], now: number): readonly Clock[] {
  const isHeld = (clock: Clock) => clock.too_cold || (clock.least !== null && now < clock.least);
  return running.filter(
    (clock) =>
      isHeld(clock) && op.holds.some((hold) => hold.operation === clock.operation && hold.clock === clock.kind),
  );
}
