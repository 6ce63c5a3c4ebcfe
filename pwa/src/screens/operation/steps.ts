/** The steps that a person records as an operation goes on, and which one is next: the main button follows them. */
import { STEPS, type Step } from "../../bench/happening_kinds.ts";
import type { Operation, OperationState } from "../../wire.gen.ts";

/** Every step of this operation, in order. */
export function stepsOf(operation: Operation): readonly Step[] {
  const timed = new Set(operation.clocks.flatMap(({ starts, ends }) => [starts, ...ends]));
  const glued = operation.step === "glue-up" ? ["glue-on"] : [];
  const coated = operation.step === "coat" ? ["coat-on"] : [];
  const used = new Set<string>(["began", "finished", ...timed, ...glued, ...coated]);
  if (used.has("clamped")) used.add("clamps-off");
  return STEPS.filter((step) => used.has(step));
}

/** The step to record next; null when the operation is done. */
export function nextStep(operation: Operation, state: OperationState): Step | null {
  if (state.status === "in-clamps") return "clamps-off";
  if (state.status === "done") return null;
  const marks = stepsOf(operation);
  const last = marks.reduce((latest, step, n) => (state.marks[step] === undefined ? latest : n), -1);
  return marks[last + 1] ?? "finished";
}

/** Ids of what a happening on this operation is about: the operation, its parts, and what it makes. */
export function subjectsOf(operation: Operation): readonly string[] {
  return [operation.id, ...operation.parts, ...(operation.makes ? [operation.makes] : [])];
}
