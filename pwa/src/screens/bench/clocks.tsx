import { type BuildView, builds, type RunningClock } from "../../live.ts";
import { ClockCard, ClockRow, isSoon } from "./clockcard.tsx";

type ClocksProps = { readonly clocks: readonly RunningClock[]; readonly own?: boolean };

/** Clocks soonest first: those of the next hours as cards, the long waits a line each. */
export function Clocks({ clocks, own = false }: ClocksProps) {
  const known = clocks.flatMap((clock) => {
    const view = builds.value.find(({ id }) => id === clock.build);
    return view ? [{ clock, view, key: keyOf(clock, view) }] : [];
  });
  const soon = known.filter(({ clock }) => isSoon(clock));
  const late = known.filter(({ clock }) => !isSoon(clock));
  if (known.length === 0) return null;
  return (
    <section class="clocks" aria-label="Running clocks">
      {soon.map(({ clock, view, key }) => (
        <ClockCard key={key} clock={clock} view={view} own={own} />
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

function keyOf(clock: RunningClock, view: BuildView): string {
  return `${view.id} ${clock.operation} ${clock.kind}`;
}
