/** What speaks against going on with the operations of a batch, in words. */
import type { Step } from "../../bench/happening_kinds.ts";
import { objectionTo, outOfBounds, whatIsLeft } from "../operation/objections.ts";
import { type Work, whose } from "../words/whose.ts";

/** Whether nothing speaks against recording the step of it now. */
export function isFree({ view, operation }: Work, step: Step): boolean {
  return objectionTo(view, operation, step) === null;
}

/** One sentence on what is left in each: "Still open: A 2 parts; B 1 check." "" where nothing is. */
export function stillOpen(held: readonly Work[], among: readonly Work[]): string {
  const left = held.flatMap((work) => {
    const words = whatIsLeft(work.view, work.operation);
    return words ? [`${whose([work], among)} ${words}`] : [];
  });
  const out = new Set(held.flatMap(({ view, operation }) => outOfBounds(view, operation)));
  return [...(left.length ? [`Still open: ${left.join("; ")}.`] : []), ...out].join(" ");
}

/** What speaks against each: said once where it is the same for all. */
export function objectionsTo(held: readonly Work[], among: readonly Work[], step: Step): string {
  const said = held.map((work) => [whose([work], among), objectionTo(work.view, work.operation, step) ?? ""] as const);
  const words = new Set(said.map(([, objection]) => objection));
  if (words.size === 1 && held.length === among.length) return [...words].join("");
  return said.map(([of, objection]) => `${of}: ${objection}`).join(" ");
}
