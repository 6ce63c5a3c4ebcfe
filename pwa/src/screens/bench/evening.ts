/** What the plan would have begun before the hands go home. */
import type { BuildView } from "../../bench/loaded_builds.ts";
import type { Evening, PlanTold } from "../../wire.gen.ts";

const LAST_HOURS_MS = 3 * 3_600_000;

/** What is not begun yet, in the last hours of the day alone. dayEnds: by the shop's hours; null when nobody said. */
export function eveningNow(
  plan: PlanTold,
  builds: readonly BuildView[],
  now: number,
  dayEnds: number | null,
): readonly Evening[] {
  const end = dayEnds ?? lastHour(plan, now);
  if (end === null || end <= now || end - now > LAST_HOURS_MS) return [];
  return plan.evening.filter(({ build, operation, by }) => {
    const status = builds.find(({ id }) => id === build)?.bench.operations[operation]?.status;
    return now <= by && by <= end && (status === "ready" || status === "waiting");
  });
}

/** When the plan has the hands stop on this day. */
function lastHour({ hours }: PlanTold, now: number): number | null {
  const midnight = new Date(now).setHours(24, 0, 0, 0);
  return hours.filter(([from, to]) => from < midnight && to > now).at(-1)?.[1] ?? null;
}
