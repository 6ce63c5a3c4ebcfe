/** The marks that a person records as an operation goes on, and which one is next: the main button follows them. */
import type { OperationState } from "../../bench/state.ts";
import type { Operation } from "../../wire.gen.ts";

/** A moment of an operation that is recorded, by the kind of its happening. */
export type Mark = "began" | "mixed" | "glue-on" | "clamped" | "clamps-off" | "coat-on" | "wiped-off" | "finished";

const ORDER: readonly Mark[] = [
  "began",
  "mixed",
  "glue-on",
  "clamped",
  "clamps-off",
  "coat-on",
  "wiped-off",
  "finished",
];

/** What the main button says, and what to know before it is tapped. */
export const MARK_WORDS: Readonly<Record<Mark, readonly [string, string]>> = {
  began: ["Begin", ""],
  mixed: ["Mixed", "Tap when the two parts come together: pot life runs from then."],
  "glue-on": ["Glue on", "Tap as the first glue is spread: open time runs from then."],
  clamped: ["Clamped", "Tap when the last clamp is tight."],
  "clamps-off": ["Clamps off", ""],
  "coat-on": ["Coat on", "Tap when the coat is on."],
  "wiped-off": ["Wiped off", ""],
  finished: ["Finish", ""],
};

/** Every mark of this operation, in order. */
export function marksOf(operation: Operation): readonly Mark[] {
  const timed = new Set(operation.clocks.flatMap(({ starts, ends }) => [starts, ...ends]));
  const glued = operation.step === "glue-up" ? ["glue-on"] : [];
  const coated = operation.step === "coat" ? ["coat-on"] : [];
  const used = new Set<string>(["began", "finished", ...timed, ...glued, ...coated]);
  if (used.has("clamped")) used.add("clamps-off");
  return ORDER.filter((mark) => used.has(mark));
}

/** The mark to record next; null when the operation is done. */
export function nextMark(operation: Operation, state: OperationState): Mark | null {
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
