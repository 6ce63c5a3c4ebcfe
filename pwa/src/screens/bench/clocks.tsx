import "./clocks.css";
import type { RunningClock } from "../../alerts/schedule.ts";
import { isUrgent } from "../../bench/clock_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import { operationPath } from "../paths.ts";
import { PieceTitle } from "../words/piece.tsx";
import { ClockCard, ClockRow, isSoon } from "./clock_card.tsx";

type ClocksProps = { readonly clocks: readonly RunningClock[]; readonly own?: boolean };

type ShownClock = { readonly clock: RunningClock; readonly view: BuildView; readonly key: string };

/**
 * Clocks soonest first: those of the next hours as cards, the long waits a line each.
 *
 * Several cards of one operation stand together under its name, in the place of the soonest; an urgent clock has a card
 * of its own.
 */
export function Clocks({ clocks, own = false }: ClocksProps) {
  const known = clocks.flatMap((clock) => {
    const view = builds.value.find(({ id }) => id === clock.build);
    return view ? [{ clock, view, key: keyOf(clock, view) }] : [];
  });
  const soon = known.filter(({ clock }) => isSoon(clock));
  const late = known.filter(({ clock }) => !isSoon(clock));
  const groups = own ? soon.map((one) => [one]) : grouped(soon);
  if (known.length === 0) return null;
  return (
    <section class="clocks" aria-label="Running clocks">
      {groups.map((group) => (
        <ClockGroup key={group[0]?.key} group={group} own={own} />
      ))}
      {late.length > 0 && (
        <ul class="rows">
          {late.map(({ clock, view, key }) => (
            <li key={key} class="row">
              <ClockRow clock={clock} view={view} own={own} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/**
 * The cards of one operation: a single one as it is, several under one heading that links to the operation.
 *
 * Of several, the later ones that still run take a line each, so that what to do next stays in sight.
 */
function ClockGroup({ group, own }: { group: readonly ShownClock[]; own: boolean }) {
  const [first, ...others] = group;
  if (!first) return null;
  if (others.length === 0) return <ClockCard clock={first.clock} view={first.view} own={own} />;
  return (
    <section class="clock-group">
      <Link to={operationPath(first.view.id, first.clock.operation)} class="group-way">
        <PieceTitle view={first.view} id={first.clock.operation} />
        <Icon name="onward" />
      </Link>
      {group.map(({ clock, view, key }) =>
        clock === first.clock || clock.phase !== "running" ? (
          <ClockCard key={key} clock={clock} view={view} grouped />
        ) : (
          <ClockRow key={key} clock={clock} view={view} own />
        ),
      )}
    </section>
  );
}

/** By operation, in the order of the first of each. */
function grouped(clocks: readonly ShownClock[]): readonly (readonly ShownClock[])[] {
  const names = new Set(clocks.map(groupOf));
  return [...names].map((name) => clocks.filter((one) => groupOf(one) === name));
}

function groupOf({ clock, key }: ShownClock): string {
  return isUrgent(clock.kind) ? key : `${clock.build} ${clock.operation}`;
}

function keyOf(clock: RunningClock, view: BuildView): string {
  return `${view.id} ${clock.operation} ${clock.kind}`;
}
