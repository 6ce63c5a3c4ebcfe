/** This phone's watch: tells server time, and notices when the phone's own clock is moved. */
import { MINUTE_MS } from "../durations.ts";
import {
  hear,
  jumpWords,
  type KeptTime,
  type Known,
  look,
  type Moment,
  restored,
  serverTime,
  toKeep,
  unknown,
} from "./time.ts";

/** How long a jump is spoken of once the server was heard again. */
const TOLD_MS = 15 * MINUTE_MS;

let known: Known = unknown(moment());
let wasHidden = false;
let heardAt = Number.NEGATIVE_INFINITY;

globalThis.document?.addEventListener("visibilitychange", () => {
  wasHidden = true;
});

/** The phone's two clocks now. */
export function moment(): Moment {
  return { wall: Date.now(), count: performance.now() };
}

/** Server time now, whole ms. */
export function serverNow(): number {
  return serverTime(known, moment());
}

/** Takes up what was kept when the page was closed. */
export function wind(kept: KeptTime): void {
  known = restored(moment(), kept);
}

/** What to keep for then. */
export function keptTime(): KeptTime {
  return toKeep(known, moment());
}

/** To be called each second; gives server time. */
export function glance(): number {
  known = look(known, moment(), !wasHidden);
  wasHidden = globalThis.document?.visibilityState === "hidden";
  return serverNow();
}

/** An answer of the server, asked for at `sent`, has come with its time. */
export function hearServer(sent: Moment, serverMs: number): void {
  glance();
  known = hear(known, sent, moment(), serverMs);
  heardAt = serverNow();
}

/** What to say of the phone's clock; null when there is nothing to say. */
export function trouble(): string | null {
  const { jump } = known;
  if (!jump) return null;
  const isChecked = heardAt >= jump.at;
  return isChecked && serverNow() - jump.at > TOLD_MS ? null : jumpWords(jump, isChecked);
}
