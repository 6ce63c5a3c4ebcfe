import { keyOf } from "../../bench/choice.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { HOUR_MS } from "../../durations.ts";
import { plan } from "../../live/plan.ts";
import { advice, builds, now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { dayEnds } from "../../phone/shop_hours.ts";
import type { Evening, PresentedPlan } from "../../wire.gen.ts";
import { operationPath } from "../paths.ts";

/** What can cure overnight if it is begun in time, the most pressing first; the reason says until when. */
export function EveningList({ evening }: { evening: readonly Evening[] }) {
  if (evening.length === 0) return null;
  return (
    <section class="block">
      <h2>Before you go home</h2>
      <ul class="rows">
        {[...evening]
          .sort((a, b) => a.by - b.by)
          .map((one) => (
            <li key={`${one.build} ${one.operation}`} class="row">
              <Link to={operationPath(one.build, one.operation)} class="row-words" icon="waiting">
                <span>
                  {beginBy(one)}: {one.title}
                  <small>{one.reason}</small>
                </span>
                <Icon name="onward" />
              </Link>
            </li>
          ))}
      </ul>
    </section>
  );
}

/** "Begin by 16:10", or that it is too late for that. */
function beginBy({ by }: Evening): string {
  const time = clockTime(by, now.value);
  return by < now.value ? `Was to begin by ${time}` : `Begin by ${time}`;
}

const LAST_HOURS_MS = 3 * HOUR_MS;

/** What is not begun yet, in the last hours of the day alone. dayEnds: by the shop's hours; null when nobody said. */
export function eveningNow(
  plan: PresentedPlan,
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
function lastHour({ hours }: PresentedPlan, now: number): number | null {
  const midnight = new Date(now).setHours(24, 0, 0, 0);
  return hours.filter(([from, to]) => from < midnight && to > now).at(-1)?.[1] ?? null;
}

/** In the last hours of the day: what can cure overnight if it is begun in time, and has its fixtures and clamps. */
export function ThisEvening() {
  if (!plan.value) return null;
  const ends = dayEnds(shop.value.settings, now.value);
  const blocked = new Set(advice.value.blocked.map(keyOf));
  const evening = eveningNow(plan.value, builds.value, now.value, ends).filter((one) => !blocked.has(keyOf(one)));
  return <EveningList evening={evening} />;
}
