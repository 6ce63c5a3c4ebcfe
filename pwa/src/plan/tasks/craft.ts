/**
 * What a craftsman heeds besides times and places: dust beside wet coats, and work that must not be hurried.
 *
 * Twin of plan/tasks/craft.py.
 */
import { compareText } from "../../bench/book.ts";
import { WORKED } from "../../bench/standing.ts";
import { MINUTE_MS } from "../../durations.ts";
import { THROWS_DUST, WET_MINUTES } from "../../tables.gen.ts";
import type { Operation } from "../../wire.gen.ts";
import { type OpenBuild, stateIn, type Task } from "./task.ts";

/** Open minutes for which clamps may stay on after their time before that is a fault. Common practice, no source. */
export const LEFT_ON = 120;

/** Open minutes after a dry fit within which its glue-up begins. Common practice, no source. */
export const FITTED = 60;

/** Clocks that run out while hands are at it: nobody begins such work just before closing time. */
export const HURRIED = ["open", "pot", "wipe-off"] as const;

const HURRIES: ReadonlySet<string> = new Set(HURRIED);

/** Whether a clock of this kind runs out while hands are at it. */
export function hurries(kind: string): boolean {
  return HURRIES.has(kind);
}

/** Whether the task's dust may fall on a wet coat. */
export function throwsDust({ act, operation }: Task): boolean {
  return act === "work" && THROWS_DUST[operation.station] === true;
}

/** Minutes after it in which dust spoils what was done; 0 for all but a coat. */
export function wetFor({ act, operation }: Task): number {
  return act === "work" ? wetMinutes(operation) : 0;
}

function wetMinutes({ step, finish = "" }: Operation): number {
  return step === "coat" ? (WET_MINUTES[finish] ?? 0) : 0;
}

/** Whether it is work that must not be hurried: a glue-up, and what a clock drives. */
export function isFiddly({ act, operation: { step, clocks } }: Task): boolean {
  return act === "work" && (step === "glue-up" || clocks.some(({ kind }) => hurries(kind)));
}

/** Whether it is the dry fit of a glue-up: of all the parts that are glued, and maybe of others. */
export function fitsFor(dry: Operation, op: Operation): boolean {
  return dry.step === "dry-fit" && op.step === "glue-up" && op.parts.every((part) => dry.parts.includes(part));
}

/** Until when a coat that is on already is wet, in minutes from now; 0 where none is, below 0 where it is dry. */
export function wetUntil(builds: readonly OpenBuild[], now: number): number {
  const ends = builds.flatMap((build) =>
    build.sheet.operations.flatMap((op) => {
      const on = op.step === "coat" && op.finish ? stateIn(build, op.id).marks["coat-on"] : undefined;
      return on === undefined ? [] : [Math.ceil((on - now) / MINUTE_MS) + wetMinutes(op)];
    }),
  );
  return ends.length ? Math.max(...ends) : 0;
}

/** The station where hands were last; "" where nothing was done at any. */
export function lastStation(builds: readonly OpenBuild[]): string {
  const done = builds.flatMap((build) =>
    build.sheet.operations.flatMap((op) => {
      const { marks } = stateIn(build, op.id);
      const times = op.station ? WORKED.flatMap((kind) => marks[kind] ?? []) : [];
      return times.length ? [{ ms: Math.max(...times), station: op.station }] : [];
    }),
  );
  return done.sort((a, b) => b.ms - a.ms || compareText(b.station, a.station))[0]?.station ?? "";
}
