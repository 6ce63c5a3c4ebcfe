/** The server's alarms as this phone knows of them: when they last ran, and since when only this phone rings. */
import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { aloneSince } from "../alerts/heartbeat.ts";
import { serverNow } from "../phone/server_time.ts";
import { persisted } from "./signals.ts";
import { now } from "./state.ts";

/** Server time in ms; 0 as long as no server said anything of its alarms. */
const alarmsRan = persisted("alarms ran", 0, (kept) => typeof kept === "number");

/** Since when this page has been awake without a gap, server time in ms. */
export const awakeSince: Signal<number> = signal(serverNow());

/** From when on only this phone rings, server time in ms; null while the server rings too. */
export const alone: ReadonlySignal<number | null> = computed(() =>
  aloneSince(alarmsRan.value, awakeSince.value, now.value),
);

/** Takes in when the server last saw to its alarms; null for not since it was started, so what was known stands. */
export function noteAlarms(ran: number | null): void {
  alarmsRan.value = ran ?? (alarmsRan.value || serverNow());
}
