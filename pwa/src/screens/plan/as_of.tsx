import { ownPlan } from "../../live/own_plan.ts";
import { now, syncedAt, syncing } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";

/** From when the plan is, who made it, and what that means while the server is away. ms: when the server made its own. */
export function AsOf({ ms }: { readonly ms: number }) {
  const time = (moment: number) => clockTime(moment, now.value);
  const away = syncing.value.state === "away";
  if (!ownPlan.value) {
    return (
      <p class="soft">
        {`As of ${time(ms)}.`}
        {away && " The server is away: what was done since then is not in it."}
      </p>
    );
  }
  const since = syncedAt.value ? ` since ${time(syncedAt.value)}` : "";
  return (
    <p class="soft">
      {`As of ${time(ownPlan.value.made_at)}. This phone worked out the order and the times by itself`}
      {away ? `: the server is away${since}. ` : ". "}
      {away
        ? "Reasons and finish dates come back with it."
        : "Reasons and finish dates come from the server in a moment."}
    </p>
  );
}
