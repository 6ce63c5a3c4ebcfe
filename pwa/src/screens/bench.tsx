import "./bench.css";
import type { Choice } from "../bench/next.ts";
import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { plan } from "../live/plan.ts";
import { advice, builds, now, running } from "../live/state.ts";
import { clockTime } from "../moments.ts";
import { Choices, FirstChoice, WaitingForFixtures } from "./bench/choices.tsx";
import { Clocks } from "./bench/clocks.tsx";
import { StandingSetups } from "./bench/standing_setups.tsx";
import { AirReading } from "./operation/air_reading.tsx";
import { ThisEvening } from "./plan/evening.tsx";
import { airWarning } from "./words/air.ts";
import { takenSentence } from "./words/fixtures.ts";
import { allLikelyDone, roughly } from "./words/forecast.ts";

/** The running clocks, what to do now and why, what fits into the wait, and the setups that stand. */
export function BenchScreen({ title }: { readonly title: string }) {
  const open = builds.value.filter(({ bench }) => !bench.closed && !bench.finished);
  if (open.length === 0 && running.value.length === 0) return <EmptyBench title={title} />;
  const { now: ready, meanwhile, blocked, standing } = advice.value;
  const [first, ...others] = ready;
  const waiting = blocked.map(({ build, operation, taken }) => ({
    build,
    operation,
    reason: takenSentence(taken, now.value),
  }));
  return (
    <>
      <Top title={title} />
      <Clocks clocks={running.value} />
      {running.value.some((clock) => clock.old_reading && airWarning(clock)) && <AirReading />}
      <section class="block">
        <h2>For your hands now</h2>
        {first ? <FirstChoice choice={first} /> : <p>{nothingReady(waiting)}</p>}
      </section>
      <ThisEvening />
      <PlanCard />
      <Choices title="Ready too" choices={others} />
      <Choices title="While that sets" choices={meanwhile} />
      <WaitingForFixtures waiting={waiting} />
      {standing.length > 0 && <StandingSetups setups={standing} />}
    </>
  );
}

function nothingReady([first]: readonly Choice[]): string {
  return first ? `Nothing is ready: ${first.reason}` : "Nothing is ready: wait for the clocks.";
}

function EmptyBench({ title }: { readonly title: string }) {
  return (
    <>
      <Top title={title} />
      <Notice
        icon="plus"
        what="No build is open."
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

/** When it will all be done, and the way to the plan. */
function PlanCard() {
  const known = plan.value;
  return (
    <Link to="/plan" class="build-card plan-card" icon="clock">
      <span>
        <strong>{known?.steps.length ? `Likely done by ${roughly(allLikelyDone(known), now.value)}` : "Plan"}</strong>
        <small>{known ? `Day by day, as of ${clockTime(known.made_at, now.value)}` : "What when, day by day"}</small>
      </span>
      <Icon name="onward" />
    </Link>
  );
}
