/**
 * Tasks: what is left of an operation for hands to do, given how far it is.
 *
 * Twin of plan/tasks/task.py, where the reasons stand.
 */
import type { OpenBuild as BenchBuild } from "../../bench/standing.ts";
import { isUnclamped } from "../../bench/unclamped.ts";
import type { Clock, ClockSpec, Operation, OperationState } from "../../wire.gen.ts";

/** Which task of its operation: the work itself, cleaning the squeeze-out off, or taking the clamps off. */
export type Act = "work" | "squeeze-out" | "clamps-off";

/** To lift the squeeze-out off one assembly while it is rubbery, in minutes. Common practice, no source. */
export const SQUEEZE_OUT_MINUTES = 4;

/** To take the clamps off one assembly and put them away, in minutes. Common practice, no source. */
const CLAMPS_OFF_MINUTES = 5;

/** A build that is not finished. running: its clocks now. due: promised for, server time in ms. weight: 1 to 9. */
export type OpenBuild = BenchBuild & {
  readonly running: readonly Clock[];
  readonly due: number | null;
  readonly weight: number;
};

/**
 * One task that is still to be done. key: its name in the problem. minutes: attended, without setting up.
 *
 * begun: already begun. piece: the letter of its piece, "" where the build has only one.
 */
export type Task = {
  readonly key: string;
  readonly build: string;
  readonly operation: Operation;
  readonly act: Act;
  readonly minutes: number;
  readonly begun: boolean;
  readonly piece: string;
};

/** The tasks of a problem, by key, in order. */
export type Tasks = ReadonlyMap<string, Task>;

/** The task's name in the problem. */
export function keyOf(build: string, operation: string, act: Act = "work"): string {
  return `${build}|${operation}|${act}`;
}

/** How far an operation of the build is. */
export function stateIn(build: OpenBuild, operation: string): OperationState {
  return build.bench.operations[operation] as OperationState;
}

/** The build's operations by id. */
export function operationsOf(build: OpenBuild): ReadonlyMap<string, Operation> {
  return new Map(build.sheet.operations.map((op) => [op.id, op]));
}

/**
 * What is left of an operation, in the order in which it is done; empty when the operation is done.
 *
 * minutes: attended, that its work still takes.
 */
export function tasksOf(build: OpenBuild, op: Operation, minutes: number): readonly Task[] {
  const { status, marks } = stateIn(build, op.id);
  if (status === "done") return [];
  const piece = build.sheet.pieces.length > 1 ? op.piece : "";
  const task = (act: Act, minutes: number, begun = false): Task => ({
    key: keyOf(build.id, op.id, act),
    build: build.id,
    operation: op,
    act,
    minutes,
    begun,
    piece,
  });
  const work = task("work", minutes, status === "in-hand");
  if (!clockSpec(op, "in-clamps")) return [work];
  const isOff = "clamps-off" in marks;
  const toClean = clockSpec(op, "squeeze-out") && !isOff && !("pared" in marks);
  return [
    ...("clamped" in marks ? [] : [work]),
    ...(toClean ? [task("squeeze-out", SQUEEZE_OUT_MINUTES)] : []),
    task("clamps-off", isOff ? 1 : isUnclamped(op) ? 0 : CLAMPS_OFF_MINUTES, isOff),
  ];
}

/** The operation's clock of a kind, if it has one. */
export function clockSpec(op: Operation | undefined, kind: ClockSpec["kind"]): ClockSpec | undefined {
  return op?.clocks.find((spec) => spec.kind === kind);
}

/** The key of the task at whose end the clock starts. */
export function clockStartKey(build: string, op: Operation, { starts }: ClockSpec): string {
  const isGlueUp = clockSpec(op, "in-clamps") !== undefined;
  return keyOf(build, op.id, isGlueUp && (starts === "clamps-off" || starts === "finished") ? "clamps-off" : "work");
}

/** The key of the task with which the operation is done. */
export function lastKey(build: string, op: Operation): string {
  return keyOf(build, op.id, clockSpec(op, "in-clamps") ? "clamps-off" : "work");
}
