import "./wall.css";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { RunningClock } from "../alerts/schedule.ts";
import { CLOCKS, wordsOf } from "../bench/clock_kinds.ts";
import { moment } from "../bench/clocks.ts";
import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { MINUTE_MS } from "../durations.ts";
import { batched } from "../live/batches.ts";
import { alone } from "../live/server_alarms.ts";
import { advice, builds, now, quiet, ringing, running, shop, syncing } from "../live/state.ts";
import { clockTime, digits, timeOfDay } from "../moments.ts";
import { isNight } from "../phone/shop_hours.ts";
import { isTooCold } from "./words/air.ts";
import { aloneWords } from "./words/alone.ts";
import { Marks } from "./words/build_mark.tsx";
import { operationOf } from "./words/names.ts";
import { PieceTitle } from "./words/piece.tsx";
import { worksOf } from "./words/whose.ts";

const MOST = 4;

/** "1:05:10" and shorter stand as large as there is room. */
const LONG = 7;

/** How long a tap gives light at night. */
const LIGHT_MS = MINUTE_MS;

/**
 * For an old tablet on the wall: the time, the clocks that are due next, and what to do next.
 *
 * Dim while nobody works; bright while something rings, and for a minute after a tap.
 */
export function WallScreen() {
  const isDim = useDimming();
  const shown = running.value.slice(0, MOST);
  const works = worksOf(batched.value.now[0] ?? [], builds.value);
  const [again] = advice.value.again;
  const lost = builds.value.find(({ id }) => id === again?.build);
  const ringsAlone = aloneWords(alone.value, syncing.value.state, now.value, "this screen");
  return (
    <>
      <header class="wall-top">
        <h1 class="figure">{timeOfDay(now.value)}</h1>
        <p>
          {works[0] ? (
            <>
              <small>Next for your hands</small>
              <span class="marked">
                <Marks works={works} named={builds.value.length > 1} /> {works[0].operation.title}
              </span>
            </>
          ) : lost && again ? (
            <>
              <small>To make again first</small>
              <PieceTitle view={lost} id={again.part} />
            </>
          ) : (
            "Nothing is ready for your hands."
          )}
        </p>
        <Link to="/" class="wall-back" icon="close">
          <span class="unseen">Back to the bench</span>
        </Link>
      </header>
      {ringsAlone && (
        <p class="wall-hint" role="alert">
          {ringsAlone}
        </p>
      )}
      {shown.length === 0 && <p class="wall-none">No clock runs.</p>}
      <ul class="wall-clocks" data-count={shown.length}>
        {shown.map((clock) => (
          <WallClock key={`${clock.build} ${clock.operation} ${clock.kind}`} clock={clock} />
        ))}
      </ul>
      {isDim && <p class="wall-hint">Dim for the night. Tap for light.</p>}
      {running.value.length > MOST && <p class="wall-more">And {running.value.length - MOST} more on the bench.</p>}
    </>
  );
}

/** Dims the whole page, and gives whether it did. */
function useDimming(): boolean {
  const litUntil = useSignal(0);
  const isDark = isNight(shop.value.settings, quiet.value, now.value);
  const isDim = isDark && ringing.value.length === 0 && now.value >= litUntil.value;
  useEffect(() => {
    const light = () => {
      litUntil.value = now.peek() + LIGHT_MS;
    };
    addEventListener("pointerdown", light);
    addEventListener("keydown", light);
    return () => {
      removeEventListener("pointerdown", light);
      removeEventListener("keydown", light);
      document.documentElement.removeAttribute("data-dim");
    };
  }, [litUntil]);
  useEffect(() => {
    document.documentElement.toggleAttribute("data-dim", isDim);
  }, [isDim]);
  return isDim;
}

function WallClock({ clock }: { clock: RunningClock }) {
  const view = builds.value.find(({ id }) => id === clock.build);
  const due = moment(clock);
  const isNow = clock.phase !== "running";
  const isCold = isTooCold(clock);
  const figures = isCold ? "Too cold" : isNow && due <= now.value ? "Now" : digits(Math.max(0, due - now.value));
  return (
    <li class={`wall-clock ${clock.phase}`}>
      <p class="wall-name">
        <Icon name={isNow ? "bell" : CLOCKS[clock.kind].icon} large />
        {wordsOf(clock.kind, view && operationOf(view.sheet, clock.operation)).name}
        {!isCold && <time>{clockTime(due, now.value)}</time>}
      </p>
      <p class="wall-digits" data-long={figures.length > LONG || undefined}>
        {figures}
      </p>
      <p class="wall-what">{view && <PieceTitle view={view} id={clock.operation} />}</p>
    </li>
  );
}
