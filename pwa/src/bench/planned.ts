/** What of the server's plan still holds at this bench. */
import type { Bench, PlannedTask, Sheet } from "../wire.gen.ts";

/** An operation in the order in which the plan has it done, with the plan's reason while that still holds. */
export type Planned = { readonly build: string; readonly operation: string; readonly reason: string | null };

/** A moment in ms as one says it when it is not today's; "" when it is. */
type LaterDay = (ms: number) => string;

type OpenBuild = { readonly id: string; readonly sheet: Sheet; readonly bench: Bench };

const BEHIND: ReadonlySet<string | undefined> = new Set(["done", "in-clamps", undefined]);
const AT_HAND: ReadonlySet<string | undefined> = new Set(["ready", "in-hand"]);

/**
 * What the plan has ready here, in its order. The reason stands only while the bench follows the plan: up to the first
 * operation that is neither behind us nor ready; after that the order still ranks, in the phone's own words.
 */
export function leading(
  steps: readonly PlannedTask[],
  open: readonly OpenBuild[],
  laterDay: LaterDay,
): readonly Planned[] {
  const statusOf = ({ build, operation }: PlannedTask) =>
    open.find(({ id }) => id === build)?.bench.operations[operation]?.status;
  const ahead = steps.filter((step) => step.act === "work" && !BEHIND.has(statusOf(step)));
  const off = ahead.findIndex((step) => !AT_HAND.has(statusOf(step)));
  const follows = off < 0 ? ahead.length : off;
  return ahead.flatMap((step, n) =>
    AT_HAND.has(statusOf(step))
      ? [{ build: step.build, operation: step.operation, reason: n < follows ? reasonOf(step, laterDay) : null }]
      : [],
  );
}

/** The plan's reason; where it is for another day, that day first: the times in it are that day's. */
function reasonOf({ setup_at, reason }: PlannedTask, laterDay: LaterDay): string {
  const later = laterDay(setup_at);
  return later ? `Planned for ${later}. ${reason}`.trimEnd() : reason;
}
