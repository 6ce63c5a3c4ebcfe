import { useEffect } from "preact/hooks";
import { moment } from "../bench/clocks.ts";
import { Way } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { clockTime, digits, timeOfDay } from "../controls/moments.ts";
import { advice, builds, now, type RunningClock, running } from "../live.ts";
import { CLOCKS } from "./words/clocks.ts";
import { Marked } from "./words/piece.tsx";

const MOST = 4;

/** For an old tablet across the shop: the time, the clocks that are due next, and what is next for the hands. */
export function WallScreen() {
  useEffect(() => {
    document.title = "Wall · Benchbell";
  }, []);
  const shown = running.value.slice(0, MOST);
  const [next] = advice.value.now;
  const view = builds.value.find(({ id }) => id === next?.build);
  return (
    <>
      <header class="wall-top">
        <h1 class="figure">{timeOfDay(now.value)}</h1>
        <p>{next && view ? <Marked view={view} id={next.operation} /> : "Nothing is ready for your hands."}</p>
        <Way to="/" class="wall-back" icon="close">
          <span class="unseen">Back to the bench</span>
        </Way>
      </header>
      {shown.length === 0 && <p class="wall-none">No clock runs.</p>}
      <ul class="wall-clocks" data-count={shown.length}>
        {shown.map((clock) => (
          <WallClock key={`${clock.build} ${clock.operation} ${clock.kind}`} clock={clock} />
        ))}
      </ul>
      {running.value.length > MOST && <p class="wall-more">And {running.value.length - MOST} more on the bench.</p>}
    </>
  );
}

function WallClock({ clock }: { clock: RunningClock }) {
  const view = builds.value.find(({ id }) => id === clock.build);
  const due = moment(clock);
  const isNow = clock.phase !== "running";
  return (
    <li class={`wall-clock ${clock.phase}`}>
      <p class="wall-name">
        <Icon name={isNow ? "bell" : CLOCKS[clock.kind].icon} large />
        {CLOCKS[clock.kind].name}
        <time>{clockTime(due, now.value)}</time>
      </p>
      <p class="wall-digits">{isNow && due <= now.value ? "Now" : digits(Math.max(0, due - now.value))}</p>
      <p class="wall-what">{view && <Marked view={view} id={clock.operation} />}</p>
    </li>
  );
}
