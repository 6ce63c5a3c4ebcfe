/** The marks that a person records as an operation goes on, and which one is next: the main button follows them. */
import { MAIN_MARKS, type MainMark } from "../../bench/happening_kinds.ts";
import type { Operation, OperationState } from "../../wire.gen.ts";

/** Every mark of this operation, in order. */
export function marksOf(operation: Operation): readonly MainMark[] {
  const timed = new Set(operation.clocks.flatMap(({ starts, ends }) => [starts, ...ends]));
  const glued = operation.step === "glue-up" ? ["glue-on"] : [];
  const coated = operation.step === "coat" ? ["coat-on"] : [];
  const used = new Set<string>(["began", "finished", ...timed, ...glued, ...coated]);
  if (used.has("clamped")) used.add("clamps-off");
  return MAIN_MARKS.filter((mark) => used.has(mark));
}

/** The mark to record next; null when the operation is done. */
export function nextMark(operation: Operation, state: OperationState): MainMark | null {
  if (state.status === "in-clamps") return "clamps-off";
  if (state.status === "done") return null;
  const marks = marksOf(operation);
  const last = marks.reduce((latest, mark, n) => (state.marks[mark] === undefined ? latest : n), -1);
  return marks[last + 1] ?? "finished";
}

/** Ids of what a happening on this operation is about: the operation, its parts, and what it makes. */
export function subjectsOf(operation: Operation): readonly string[] {
  return [operation.id, ...operation.parts, ...(operation.makes ? [operation.makes] : [])];
}
