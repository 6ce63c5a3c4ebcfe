/** What of the server's plan still holds at this bench. */
import type { Bench, Sheet, Step } from "../wire.gen.ts";

/** An operation in the order in which the plan has it done, with the plan's reason. */
export type Planned = { readonly build: string; readonly operation: string; readonly reason: string };

type OpenBuild = { readonly id: string; readonly sheet: Sheet; readonly bench: Bench };

const BEHIND: ReadonlySet<string | undefined> = new Set(["done", "in-clamps", undefined]);
const AT_HAND: ReadonlySet<string | undefined> = new Set(["ready", "in-hand"]);

/**
 * The plan's first operations, as far as they are ready here.
 *
 * None when the first that is not behind us is not ready: the bench has gone another way, or has to wait.
 */
export function leading(steps: readonly Step[], open: readonly OpenBuild[]): readonly Planned[] {
  const statusOf = ({ build, operation }: Step) =>
    open.find(({ id }) => id === build)?.bench.operations[operation]?.status;
  const ahead = steps.filter((step) => step.act === "work" && !BEHIND.has(statusOf(step)));
  const end = ahead.findIndex((step) => !AT_HAND.has(statusOf(step)));
  return ahead
    .slice(0, end < 0 ? ahead.length : end)
    .map(({ build, operation, reason }) => ({ build, operation, reason }));
}
