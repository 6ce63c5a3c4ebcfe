import type { StandingSetup } from "../../bench/standing.ts";
import { Icon } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import { begun, setupOf } from "../words/names.ts";

/** What each station is set to, and how much still needs it before the fence may be touched. */
export function StandingSetups({ setups }: { setups: readonly StandingSetup[] }) {
  return (
    <section class="block">
      <h2>Standing setups</h2>
      <ul class="rows">
        {setups.map((standing) => (
          <li key={`${standing.build} ${standing.station}`} class="row">
            <p class="row-words">
              <Icon name="set" />
              <span>
                {begun(standing.station)}: {titleOfSetup(standing)}
                <small>{standing.reason}</small>
              </span>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function titleOfSetup({ build, setup }: StandingSetup): string {
  const sheet = builds.value.find(({ id }) => id === build)?.sheet;
  return (sheet && setupOf(sheet, setup)?.title) ?? setup;
}
