import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import type { Forecast } from "../../wire.gen.ts";
import { buildPath } from "../paths.ts";
import { headline, promised, range, restsOn } from "../words/forecast.ts";

/** Of ten times, how often a promise must be kept that nobody need worry about. */
const LIKELY = 7;

/** When each build will be done, from when to when, and what that rests on. */
export function Forecasts({ forecasts }: { forecasts: readonly Forecast[] }) {
  if (forecasts.length === 0) return null;
  return (
    <section class="block">
      <h2>Done when</h2>
      <ul class="rows">
        {forecasts.map((one) => (
          <li key={one.build} class="row">
            <Link to={buildPath(one.build)} class="row-words">
              <span>
                <small>{one.name}</small>
                <strong class="done-by">{headline(one, now.value)}</strong>
                <small>
                  {range(one, now.value)} {restsOn(one)}
                </small>
                {one.due !== null && typeof one.odds === "number" && (
                  <PromiseLine words={promised(one.due, one.odds, now.value)} odds={one.odds} />
                )}
              </span>
              <Icon name="onward" />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

function PromiseLine({ words, odds }: { words: string; odds: number }) {
  return (
    <span class={odds >= LIKELY ? "state" : "state look"}>
      <Icon name={odds >= LIKELY ? "check" : "warn"} />
      {words}
    </span>
  );
}
