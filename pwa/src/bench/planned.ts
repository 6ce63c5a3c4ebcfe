/** What of a plan still holds at this bench. */
import type { Bench, PlannedTask, Sheet } from "../wire.gen.ts";

/** An operation in the order in which the plan has it done, with the plan's reason while that still holds. */
export type Planned = { readonly build: string; readonly operation: string; readonly reason: string | null };

type OpenBuild = { readonly id: string; readonly sheet: Sheet; readonly bench: Bench };

const BEHIND: ReadonlySet<string | undefined> = new Set(["done", "in-clamps", undefined]);
const AT_HAND: ReadonlySet<string | undefined> = new Set(["ready", "in-hand"]);

/**
 * What the plan has ready here, in its order. The reason stands only while the bench follows the plan: up to the first
 * operation that is neither behind us nor ready; after that the order still ranks, in the phone's own words. Nor does it
 * stand for another day: then somebody is here outside the hours, and what the plan says of that day is not of now.
 *
 * isToday: whether a moment in ms is of the day that it is now.
 */
export function leading(
  steps: readonly PlannedTask[],
  open: readonly OpenBuild[],
  isToday: (ms: number) => boolean,
): readonly Planned[] {
  const statusOf = ({ build, operation }: PlannedTask) =>
    open.find(({ id }) => id === build)?.bench.operations[operation]?.status;
  const ahead = steps.filter((step) => step.act === "work" && !BEHIND.has(statusOf(step)));
  const off = ahead.findIndex((step) => !AT_HAND.has(statusOf(step)));
  const follows = off < 0 ? ahead.length : off;
  return ahead.flatMap((step, n) =>
    AT_HAND.has(statusOf(step))
      ? [
          {
            build: step.build,
            operation: step.operation,
            reason: n < follows && isToday(step.setup_at) ? step.reason : null,
          },
        ]
      : [],
  );
}

/**
 * The phone's own order with what the server says of it: its reasons, as long as both orders go together.
 *
 * Behind the first operation that the phone has in another place they might be of an order that no longer stands.
 */
export function withReasons(own: readonly Planned[], told: readonly Planned[]): readonly Planned[] {
  const parts = own.findIndex((one, n) => one.build !== told[n]?.build || one.operation !== told[n]?.operation);
  return own.map((one, n) => ({ ...one, reason: (parts < 0 || n < parts ? told[n]?.reason : null) ?? null }));
}
