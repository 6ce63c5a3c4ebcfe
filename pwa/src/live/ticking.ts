/** How `now` moves: each second, at the moment something rings, and smoothly while every second counts. */

import { computed, effect } from "@preact/signals";
import { isUrgent } from "../bench/clock_kinds.ts";
import { checkClock, jumpWarning, timeToKeep } from "../phone/server_time.ts";
import { everySecond } from "../phone/tick.ts";
import { type Database, keep } from "../store/database.ts";
import { awakeSince } from "./server_alarms.ts";
import { clockWarning, nextMoment, now, running } from "./state.ts";

const SECOND_MS = 1_000;
/** A longer gap between two ticks: the page was asleep. */
const ASLEEP_MS = 5_000;
/** Between two looks at the clock while open time or pot life runs. */
const URGENT_MS = 250;
/** The server's time is kept once in so many seconds too, so that a clock set back later is noticed. */
const KEEP_EACH = 30;

/** Keeps what this phone knows of the server's time, for the next opening of the page. Never rejects. */
export async function keepTime(db: Database): Promise<void> {
  const time = timeToKeep();
  if (time) await keep(db, "time", time).catch(console.error);
}

/** Lets `now` and `clockWarning` follow the clock until the page is closed. */
export function startTicking(db: Database): void {
  let seconds = 0;
  const tick = () => {
    const before = now.value;
    now.value = checkClock();
    if (now.value - before > ASLEEP_MS) awakeSince.value = now.value;
    clockWarning.value = jumpWarning();
    const wait = (nextMoment.value ?? Number.POSITIVE_INFINITY) - now.value;
    if (wait < SECOND_MS) tickIn(wait);
  };
  const tickIn = everySecond(() => {
    tick();
    if (++seconds % KEEP_EACH === 0) void keepTime(db);
  });
  addEventListener("pagehide", () => void keepTime(db));
  document.addEventListener("visibilitychange", () => void (document.hidden && keepTime(db)));
  const isAnyUrgent = computed(() => running.value.some(({ kind }) => isUrgent(kind)));
  effect(() => {
    if (!isAnyUrgent.value) return;
    const timer = setInterval(tick, URGENT_MS);
    return () => clearInterval(timer);
  });
}
