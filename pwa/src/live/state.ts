/** The signals that the page is drawn from. All moments are server time in whole ms. */

import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { mayInterrupt } from "../alerts/held_back.ts";
import { type Quiet, readQuiet } from "../alerts/quiet.ts";
import { type Alarm, due, nextChange, type RunningClock } from "../alerts/schedule.ts";
import { clocksOfAll } from "../bench/clocks.ts";
import { type Bearer, type BuildSummary, type BuildView, bearerOf, isOpen } from "../bench/loaded_builds.ts";
import { type Advice, adviceFor } from "../bench/next.ts";
import { inOtherHands } from "../bench/others.ts";
import { leading, withReasons } from "../bench/planned.ts";
import type { Setting } from "../bench/server_clock.ts";
import { countsIn } from "../bench/shop.ts";
import { HOUR_MS, MINUTE_MS } from "../durations.ts";
import { isSameDay } from "../moments.ts";
import { serverNow } from "../phone/server_time.ts";
import { dayEnds } from "../phone/shop_hours.ts";
import type { Units } from "../recipe/measure.ts";
import { beforeAsking, type SyncView } from "../store/sender.ts";
import type { PlannedTask, Sheet, ShopState } from "../wire.gen.ts";
import { ownPlan } from "./own_plan.ts";
import { plan } from "./plan.ts";
import { persisted, stableList } from "./signals.ts";

/** How long a setting of the server's clock is shown. */
const SHOWN_MS = HOUR_MS;

/** Builds at hand: open ones first, the newest first; then others whose clocks run, or that were opened to look at. */
export const builds: Signal<readonly BuildView[]> = signal([]);

/** The name of this device in what it records; "" until the phone's store is open. */
export const ownDevice: Signal<string> = signal("");

/** Every build that this phone knows. */
export const summaries: Signal<readonly BuildSummary[]> = signal([]);

/** The shop's settings and air. */
export const shop: Signal<ShopState> = signal({ settings: {}, readings: [] });

/** Server time now. Changes each second, four times a second while every second counts, and when a ring is due. */
export const now: Signal<number> = signal(serverNow());

/** Whether the server has everything that was recorded here. */
export const syncing: Signal<SyncView> = signal(beforeAsking({ waiting: 0, since: null }));

/** The moment up to which this page knows all that the server knows; 0 before the first answer. */
export const syncedAt: Signal<number> = signal(0);

/** Whether the server had entries of this device when it first answered a page whose store knew of none. */
export const hadBefore: Signal<boolean> = signal(false);

/** What is wrong with this phone's own clock, in a sentence; null while nothing is. */
export const clockWarning: Signal<string | null> = signal(null);

/** How the server's clock was set, as far as this phone knows. */
export const clockSettings: Signal<readonly Setting[]> = signal([]);

/** Whether a newer version of the page is ready to be loaded. */
export const newVersion: Signal<boolean> = signal(false);

/** The units in which this device shows sizes: those of each recipe, or always the same. */
export const shownIn = persisted<"recipe" | Units>("sizes shown in", "recipe", isShownIn);

function isShownIn(kept: unknown): kept is "recipe" | Units {
  return kept === "recipe" || kept === "mm" || kept === "in";
}

/** The units in which sizes of a sheet are shown and read here. */
export function unitsOf(sheet: Pick<Sheet, "units">): Units {
  return shownIn.value === "recipe" ? sheet.units : shownIn.value;
}

/** The running clocks of all builds at hand, soonest moment first. */
export const running: ReadonlySignal<readonly RunningClock[]> = stableList(() =>
  clocksOfAll(builds.value, shop.value.readings, now.value),
);

/** The hours in which only urgent clocks ring; null for none. */
export const quiet: ReadonlySignal<Quiet | null> = computed(() => readQuiet(shop.value.settings.quiet));

const benches = computed(() => new Map(builds.value.map(({ id, bench }) => [id, bench])));

/** What rings and was not acknowledged yet, the most urgent first. */
export const ringing: ReadonlySignal<readonly Alarm[]> = stableList(() =>
  due(running.value, benches.value, quiet.value, now.value),
);

const others: ReadonlySignal<ReadonlySet<string>> = computed(() =>
  worksWithOthers(shop.value) ? inOtherHands(builds.value, ownDevice.value) : new Set(),
);

/** What of `ringing` may sound and cover the screen here; the rest stays with its clock until open glue is clamped. */
export const interrupting: ReadonlySignal<readonly Alarm[]> = stableList(() =>
  mayInterrupt(ringing.value, running.value, others.value, now.value),
);

/** The next moment at which something rings or a clock changes its phase; null for none. */
export const nextMoment: ReadonlySignal<number | null> = computed(() =>
  nextChange(running.value, quiet.value, now.value),
);

const minute = computed(() => Math.floor(now.value / MINUTE_MS));

/** What to do next. Worked out when something changes, and once a minute. */
export const advice: ReadonlySignal<Advice> = computed(() => {
  minute.value;
  const open = builds.value.filter(({ bench }) => isOpen(bench));
  const ahead = (steps: readonly PlannedTask[]) => leading(steps, open, (ms) => isSameDay(ms, now.peek()));
  const told = ahead(plan.value?.steps ?? []);
  const planned = ownPlan.value ? withReasons(ahead(ownPlan.value.steps), told) : told;
  return adviceFor(open, running.value, now.peek(), {
    dayEnds: dayEnds(shop.value.settings, now.peek()),
    planned,
    fixtures: countsIn(shop.value, "fixtures"),
    clamps: countsIn(shop.value, "clamps"),
    others: others.value,
  });
});

/** Whether the shop has named several people; one alone carries on on each device what was begun on any. */
function worksWithOthers({ settings: { people } }: ShopState): boolean {
  return Array.isArray(people) && people.length > 1;
}

/** The last setting of the server's clock; null when there was none lately. */
export const recentSetting: ReadonlySignal<Setting | null> = computed(() => {
  const last = clockSettings.value.at(-1);
  minute.value;
  return last && now.peek() - last.ms < SHOWN_MS ? last : null;
});

/** The part or assembly that has this label, among the builds at hand; null when none has it. */
export function findCode(code: string): Bearer | null {
  return bearerOf(builds.value, code);
}
