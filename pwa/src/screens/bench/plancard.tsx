import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { plan } from "../../live/plan.ts";
import { builds, now, shop } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { dayEnds } from "../../phone/day.ts";
import { EveningList } from "../plan/evening.tsx";
import { eveningNow } from "./evening.ts";

/** When it will all be done, and the way to the plan. */
export function PlanCard() {
  const told = plan.value;
  return (
    <Link to="/plan" class="build-card plan-card" icon="clock">
      <span>
        <strong>{told?.steps.length ? `Done by ${clockTime(told.finish, now.value)}` : "Plan"}</strong>
        <small>{told ? `Day by day, as of ${clockTime(told.made_at, now.value)}` : "What when, day by day"}</small>
      </span>
      <Icon name="onward" />
    </Link>
  );
}

/** In the last hours of the day: what can cure overnight if it is begun in time. */
export function ThisEvening() {
  if (!plan.value) return null;
  const ends = dayEnds(shop.value.settings, now.value);
  return <EveningList evening={eveningNow(plan.value, builds.value, now.value, ends)} />;
}
