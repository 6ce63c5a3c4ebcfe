/** How far a batch is: what its main button records next, and for which of its operations. */
import { kindOf } from "../../bench/alike.ts";
import { STEPS, type Step } from "../../bench/happening_kinds.ts";
import type { OperationState } from "../../wire.gen.ts";
import { nextStep } from "../operation/steps.ts";
import type { Work } from "../words/whose.ts";

/** A step, and the operations for which it is next. */
export type Due = { readonly step: Step; readonly works: readonly Work[] };

/** A name for lists. */
export function keyOf({ view, operation }: Work): string {
  return `${view.id} ${operation.id}`;
}

/**
 * What is next for those in hand, the earliest step first; where none is in hand, that all begin. Null where nothing is
 * left to record. What starts or stops a clock is recorded of one at a time: each coat has its own.
 */
export function dueOf(works: readonly Work[]): Due | null {
  const steps = works.map((work) => ({ work, step: stepOf(work) }));
  const inHand = steps.filter(({ step }) => step !== null && step !== "began");
  const first = STEPS.find((step) => inHand.some((one) => one.step === step));
  if (!first) {
    const all = toBegin(works);
    return all.length ? { step: "began", works: all } : null;
  }
  const due = inHand.flatMap(({ step, work }) => (step === first ? [work] : []));
  return { step: first, works: first === "finished" ? due : due.slice(0, 1) };
}

/** Those that are not begun. */
export function toBegin(works: readonly Work[]): readonly Work[] {
  return works.filter((work) => stepOf(work) === "began");
}

/** Those that have to be seen to by themselves: a part is spoiled, or a size is out of its bounds. */
export function stuckIn(works: readonly Work[]): readonly Work[] {
  return works.filter((work) => stateOf(work)?.status === "spoiled" || Boolean(stateOf(work)?.to_measure?.length));
}

/** Those for which a station is set, and parts are made, alike; in the order of the first of each. */
export function alikeIn(works: readonly Work[]): readonly (readonly Work[])[] {
  const found = new Map<string, Work[]>();
  for (const work of works) {
    const kind = kindOf(work.view, work.operation);
    found.set(kind, [...(found.get(kind) ?? []), work]);
  }
  return [...found.values()];
}

function stepOf(work: Work): Step | null {
  const state = stateOf(work);
  return state && !stuckIn([work]).length ? nextStep(work.operation, state) : null;
}

function stateOf({ view, operation }: Work): OperationState | undefined {
  return view.bench.operations[operation.id];
}
