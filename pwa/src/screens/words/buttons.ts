/** What a step's button says. */
import { HAPPENINGS } from "../../bench/happening_kinds.ts";
import { isUnclamped } from "../../bench/unclamped.ts";
import type { Operation } from "../../wire.gen.ts";

type Words = Pick<(typeof HAPPENINGS)[keyof typeof HAPPENINGS], "button" | "hint">;

/** By kind, what stands in its place where a glue-up takes no clamps. */
const UNCLAMPED: Readonly<Record<string, Words>> = {
  clamped: { button: "All together", hint: "Tap when the last joint is tight." },
  "clamps-off": { button: "Glue set", hint: "" },
};

/** The words of a button that records this of an operation, and of the hint above it. */
export function wordsOfStep(kind: keyof typeof HAPPENINGS, operation: Operation | undefined): Words {
  return (operation && isUnclamped(operation) && UNCLAMPED[kind]) || HAPPENINGS[kind];
}

/** The button alone. */
export function buttonOf(kind: keyof typeof HAPPENINGS, operation: Operation | undefined): string {
  return wordsOfStep(kind, operation).button;
}
