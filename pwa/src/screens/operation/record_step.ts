/** Recording a step of an operation, with the air that it was done in and the reasons that were asked for. */
import { isOld } from "../../bench/air.ts";
import type { What } from "../../bench/book.ts";
import type { Step } from "../../bench/happening_kinds.ts";
import { record } from "../../live/record.ts";
import { now, shop } from "../../live/state.ts";
import type { Work } from "../words/whose.ts";
import { UNTIL_IT_IS_ON } from "./objections.ts";
import { subjectsOf } from "./steps.ts";

/**
 * Records the step of these operations, of several as one stretch of work. Never rejects.
 *
 * reason: for beginning early or in unfit air, kept as a note; or for finishing as it is. against: what it is a reason for.
 */
export async function recordStep(works: readonly Work[], step: Step, reason: string, against: string): Promise<void> {
  await Promise.all(works.map((work) => recordOne(work, happeningOf(work, works, step, reason), reason, against)));
}

async function recordOne({ view, operation }: Work, what: What, reason: string, against: string): Promise<void> {
  const about = subjectsOf(operation);
  if (UNTIL_IT_IS_ON.has(what.kind as Step) && reason)
    await record(view.id, { kind: "noted", text: `${against}: ${reason}` }, about);
  await record(view.id, what, about);
}

function happeningOf(work: Work, works: readonly Work[], step: Step, reason: string): What {
  const operation = work.operation.id;
  if (step === "clamps-off" || step === "finished") return { kind: step, operation, reason };
  if (step === "glue-on" || step === "coat-on") return { kind: step, operation, ...air() };
  const beside = step === "began" ? besideIn(work, works) : 0;
  return beside ? { kind: "began", operation, beside } : { kind: step, operation };
}

/** Planned minutes of those that are begun with it in other builds, whose logs do not know of each other. */
function besideIn({ view }: Work, works: readonly Work[]): number {
  return works.reduce((sum, one) => sum + (one.view.id === view.id ? 0 : one.operation.minutes), 0);
}

/** The last reading of the air, when it is not too old to say anything. */
function air(): { celsius: number | null; humidity: number | null } {
  const last = shop.value.readings.at(-1);
  if (!last || isOld(last, now.value)) return { celsius: null, humidity: null };
  return { celsius: last.celsius, humidity: last.humidity ?? null };
}
