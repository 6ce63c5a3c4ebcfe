import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import type { Forecast, PresentedPlan } from "../../wire.gen.ts";
import { buildPath } from "../paths.ts";
import { headline, promised, range, restsOn, roughly } from "../words/forecast.ts";
import { because, type Cause, causesOf, nameOf } from "../words/unplanned.ts";

/** Of ten times, how often a promise must be kept that nobody need worry about. */
const LIKELY = 7;

/** When each build will be done, from when to when, and what that rests on; or why it is not done. */
export function Forecasts({ plan: { forecasts, unplanned, steps } }: { plan: PresentedPlan }) {
  const causes = causesOf(unplanned);
  const unfinished = causes.filter(({ build }, n) => causes.findIndex((one) => one.build === build) === n);
  const finished = forecasts.filter(({ build }) => unfinished.every((one) => one.build !== build));
  if (finished.length + unfinished.length === 0) return null;
  return (
    <section class="block">
      <h2>Done when</h2>
      <ul class="rows">
        {unfinished.map((cause) => (
          <li key={cause.build} class="row">
            <NotDone cause={cause} ends={steps.flatMap(({ build, end }) => (build === cause.build ? [end] : []))} />
          </li>
        ))}
        {finished.map((one) => (
          <li key={one.build} class="row">
            <Link to={buildPath(one.build)} class="row-words">
              <span>
                <small>{one.name}</small>
                <strong class="done-by">{headline(one, now.value)}</strong>
                <small>
                  {range(one, now.value)} {restsOn(one)}
                </small>
                <PromiseLine forecast={one} />
              </span>
              <Icon name="onward" />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A build of which something cannot be planned. ends: when what can be planned of it does. */
function NotDone({ cause, ends }: { cause: Cause; ends: readonly number[] }) {
  return (
    <Link to={buildPath(cause.build)} class="row-words">
      <span>
        <small>{nameOf(cause.build)}</small>
        <strong class="done-by">Not done</strong>
        <small>
          {because(cause)}
          {ends.length > 0 && ` What can be planned ends ${roughly(Math.max(...ends), now.value)}.`}
        </small>
      </span>
      <Icon name="onward" />
    </Link>
  );
}

function PromiseLine({ forecast }: { forecast: Forecast }) {
  const words = promised(forecast, now.value);
  if (!words) return null;
  const kept = (forecast.odds ?? 0) >= LIKELY;
  return (
    <span class={kept ? "state" : "state look"}>
      <Icon name={kept ? "check" : "warn"} />
      {words}
    </span>
  );
}
