/** How `now` moves: each second, at the moment something rings, and smoothly while every second counts. */

import { computed, effect } from "@preact/signals";
import { isUrgent } from "../bench/clock_kinds.ts";
import { checkClock, jumpWarning, timeToKeep } from "../phone/server_time.ts";
import { everySecond } from "../phone/tick.ts";
import { type Database, keep } from "../store/database.ts";
import { clockWarning, nextMoment, now, running } from "./state.ts";

const SECOND_MS = 1_000;
/** Between two looks at the clock while open time or pot life runs. */
const URGENT_MS = 250;
/** The phone's idea of the server's time is kept once in so many seconds. */
const KEEP_EACH = 30;

/** Lets `now` and `clockWarning` follow the clock until the page is closed. */
export function startTicking(db: Database): void {
  let seconds = 0;
  const tick = () => {
    now.value = checkClock();
    clockWarning.value = jumpWarning();
    const wait = (nextMoment.value ?? Number.POSITIVE_INFINITY) - now.value;
    if (wait < SECOND_MS) tickIn(wait);
  };
  const tickIn = everySecond(() => {
    tick();
    if (++seconds % KEEP_EACH === 0) keep(db, "time", timeToKeep()).catch(console.error);
  });
  const isAnyUrgent = computed(() => running.value.some(({ kind }) => isUrgent(kind)));
  effect(() => {
    if (!isAnyUrgent.value) return;
    const timer = setInterval(tick, URGENT_MS);
    return () => clearInterval(timer);
  });
}
