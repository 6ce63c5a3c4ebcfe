import "./bench.css";
import type { Batch } from "../bench/batches.ts";
import { isUrgent } from "../bench/clock_kinds.ts";
import type { Wait } from "../bench/waits.ts";
import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { MINUTE_MS } from "../durations.ts";
import { batched } from "../live/batches.ts";
import { plan } from "../live/plan.ts";
import { advice, builds, now, running, shop, summaries } from "../live/state.ts";
import { clockTime, span } from "../moments.ts";
import { isNight } from "../phone/shop_hours.ts";
import type { PresentedPlan } from "../wire.gen.ts";
import { Choices, FirstChoice, WaitingForFixtures } from "./bench/choices.tsx";
import { ScarceClamps } from "./bench/clamps.tsx";
import { Clocks } from "./bench/clocks.tsx";
import { MakeAgain } from "./bench/make_again.tsx";
import { NothingReady } from "./bench/nothing_ready.tsx";
import { StandingSetups } from "./bench/standing_setups.tsx";
import { AirReading } from "./operation/air_reading.tsx";
import { ThisEvening } from "./plan/evening.tsx";
import { airWarning } from "./words/air.ts";
import { takenSentence } from "./words/fixtures.ts";
import { allLikelyDone, roughly } from "./words/forecast.ts";
import { statusOf, worksOf } from "./words/whose.ts";

/** The running clocks, what to make again, what to do now and why, what fits into the wait, and the setups that stand. */
export function BenchScreen({ title }: { readonly title: string }) {
  const open = builds.value.filter(({ bench }) => !bench.closed && !bench.finished);
  if (open.length === 0 && running.value.length === 0) return <EmptyBench title={title} />;
  const { again, wait, elsewhere, blocked, clamps, standing } = advice.value;
  const { now: ready, meanwhile } = batched.value;
  const [first, ...others] = ready;
  const isInHand = (batch: Batch) => worksOf(batch, open).every((work) => statusOf(work) === "in-hand");
  const isRaced = running.value.some(({ kind }) => isUrgent(kind));
  const waiting = blocked.flatMap(({ build, operation, by }) =>
    "taken" in by ? [{ build, operation, reason: takenSentence(by.taken, now.value) }] : [],
  );
  return (
    <>
      <Top title={title} />
      {!isRaced && <MakeAgain spoiled={again} />}
      <Clocks clocks={running.value} />
      {isRaced && <MakeAgain spoiled={again} />}
      {running.value.some((clock) => clock.old_reading && airWarning(clock)) && <AirReading />}
      <section class="block">
        <h2>{isNight(shop.value.settings, null, now.value) ? "Next" : "For your hands now"}</h2>
        {first ? (
          <FirstChoice batch={first} />
        ) : (
          <NothingReady advice={advice.value} waiting={waiting} isOpen={open.length > 0} />
        )}
      </section>
      <ThisEvening />
      <PlanCard />
      <Choices title="In hand" batches={others.filter(isInHand)} />
      <Choices title="Ready too" batches={others.filter((batch) => !isInHand(batch))} />
      <Choices title="Meanwhile" batches={meanwhile} why={wait ? fitsInto(wait) : ""} />
      <Choices title="In hand elsewhere" batches={elsewhere.map((one) => [one] as const)} />
      <ScarceClamps counts={clamps} blocked={blocked} />
      <WaitingForFixtures waiting={waiting} />
      {standing.length > 0 && <StandingSetups setups={standing} />}
    </>
  );
}

/** "Each fits into the 49 min until the clamps come off." */
function fitsInto({ minutes, until }: Wait): string {
  return `Each fits into the ${span(minutes * MINUTE_MS)} until ${until}.`;
}

function EmptyBench({ title }: { readonly title: string }) {
  return (
    <>
      <Top title={title} />
      <Notice
        icon="plus"
        what={
          summaries.value.some(({ finished }) => finished)
            ? "Nothing is left: every build is finished."
            : "No build is open."
        }
        next="Start one from a recipe: choose it, say how many pieces, print its labels."
      />
      <ol class="first-steps">
        <li>
          <Icon name="thermometer" />
          <span>Write down the temperature under Shop: glue times depend on it.</span>
        </li>
        <li>
          <Icon name="bell" />
          <span>Let this phone ring: Shop says what it can do, and what is missing.</span>
        </li>
        <li>
          <Icon name="warn" />
          <span>
            The tool maker's manual, the glue's label and local codes come first. This is a memory aid, not training.
          </span>
        </li>
      </ol>
      <div class="deeds">
        <Link to="/builds" class="button main" icon="builds">
          <span>Start a build</span>
        </Link>
      </div>
    </>
  );
}

/** "Likely done by Thu morning"; without a finish where something cannot be planned. */
function outlook(known: PresentedPlan): string {
  if (known.unplanned.length) return "Not all of it can be planned";
  return known.steps.length ? `Likely done by ${roughly(allLikelyDone(known), now.value)}` : "Plan";
}

/** When it will all be done, and the way to the plan. */
function PlanCard() {
  const known = plan.value;
  return (
    <Link to="/plan" class="build-card plan-card" icon="clock">
      <span>
        <strong>{known ? outlook(known) : "Plan"}</strong>
        <small>{known ? `Day by day, as of ${clockTime(known.made_at, now.value)}` : "What when, day by day"}</small>
      </span>
      <Icon name="onward" />
    </Link>
  );
}
