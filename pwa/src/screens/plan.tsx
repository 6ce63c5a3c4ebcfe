import "./plan.css";
import { useEffect } from "preact/hooks";
import { Link } from "../controls/button.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { ownPlan, standingPlan } from "../live/own_plan.ts";
import { plan, planProblem, updatePlan } from "../live/plan.ts";
import { builds, now, syncing } from "../live/state.ts";
import { clockTime, span } from "../moments.ts";
import type { PresentedPlan } from "../wire.gen.ts";
import { AsOf } from "./plan/as_of.tsx";
import { DayView } from "./plan/day_view.tsx";
import { EveningList } from "./plan/evening.tsx";
import { Forecasts } from "./plan/forecasts.tsx";
import { UnplannedList } from "./plan/unplanned.tsx";
import { WhatIf } from "./plan/what_if.tsx";
import { listed } from "./words/names.ts";

/** The plan day by day, when each build will be done, and what would make it sooner. */
export function PlanScreen({ title }: { readonly title: string }) {
  useEffect(() => void updatePlan(), []);
  return (
    <>
      <Top title={title} back="/" />
      {planProblem.value && <Notice what={planProblem.value.what} next={planProblem.value.next_step} />}
      {standingPlan.value ? <PlanDetails plan={standingPlan.value} /> : !planProblem.value && <NoPlan />}
    </>
  );
}

function PlanDetails({ plan: standing }: { plan: PresentedPlan }) {
  const told = plan.value;
  return (
    <>
      <AsOf ms={standing.made_at} />
      <Overruns plan={standing} />
      {standing.steps.length === 0 && (
        <p>
          {standing.unplanned.length
            ? "Nothing can go on before what stands below is put right."
            : "Nothing is left for the hands."}
        </p>
      )}
      {standing.steps.length > 0 && <DayView plan={standing} />}
      {ownPlan.value && told && (
        <p class="soft">{`What follows the server said at ${clockTime(told.made_at, now.value)}.`}</p>
      )}
      <EveningList evening={standing.evening} />
      <Forecasts plan={standing} />
      <UnplannedList unplanned={standing.unplanned} />
      {standing.steps.length > 0 && <WhatIf plan={standing} />}
    </>
  );
}

/** What the best plan could not keep. */
function Overruns({ plan: { overrun_ms = 0, late_ms = 0, too_late = [] } }: { plan: PresentedPlan }) {
  return (
    <>
      {overrun_ms > 0 && (
        <Notice
          what={`Waits last longer than they may, by ${span(overrun_ms)} in all.`}
          next={`${too_late.length ? `Too long after: ${listed(too_late)}. ` : ""}Work longer, or begin them later.`}
        />
      )}
      {late_ms > 0 && (
        <Notice
          what={`Some builds come later than asked for, by ${span(late_ms)} in all.`}
          next="Try below what longer hours or more clamps would do."
        />
      )}
    </>
  );
}

function NoPlan() {
  if (builds.value.length === 0)
    return (
      <>
        <Notice icon="plus" what="No build is open, so there is nothing to plan." next="Start one from a recipe." />
        <Link to="/builds" class="button main" icon="builds">
          <span>Start a build</span>
        </Link>
      </>
    );
  if (syncing.value.state === "away")
    return (
      <Notice
        icon="away"
        what="The server makes the plan, and it is away."
        next="The bench says what is ready without it. The plan comes as soon as the server is back."
      />
    );
  return <p class="soft">The server is at the plan…</p>;
}
