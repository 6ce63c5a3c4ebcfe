import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import { clockTime, span } from "../../moments.ts";
import type { Forecast } from "../../wire.gen.ts";
import { buildPath } from "../paths.ts";
import { counted } from "../words/names.ts";

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
                <strong class="done-by">{clockTime(one.finish, now.value)}</strong>
                <small>
                  {between(one)} {restsOn(one)}
                </small>
                {one.due !== null && <Due finish={one.finish} due={one.due} />}
              </span>
              <Icon name="onward" />
            </Link>
          </li>
        ))}
      </ul>
    </section>
  );
}

function between({ soonest, latest }: Forecast): string {
  const [from, to] = [clockTime(soonest, now.value), clockTime(latest, now.value)];
  return from === to ? "" : `Between ${from} and ${to}.`;
}

function restsOn({ timed }: Forecast): string {
  return timed ? `Rests on ${counted(timed, "timed operation")}.` : "A guess until operations are timed.";
}

function Due({ finish, due }: { finish: number; due: number }) {
  const asked = `Asked for by ${clockTime(due, now.value)}`;
  if (finish <= due)
    return (
      <span class="state">
        <Icon name="check" />
        {asked}: in time.
      </span>
    );
  return (
    <span class="state look">
      <Icon name="warn" />
      {asked}: {span(finish - due)} late.
    </span>
  );
}
