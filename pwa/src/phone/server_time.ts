/** Server time on this phone, and what to say when the phone's own clock was moved. */
import type { Setting } from "../bench/server_clock.ts";
import { MINUTE_MS } from "../durations.ts";
import type { When } from "../wire.gen.ts";
import {
  beforeAnyAnswer,
  fromKept,
  type Heard,
  jumpSentence,
  type KeptTime,
  type PhoneClocks,
  type ServerClock,
  serverTime,
  toKeep,
  withAnswer,
  withReading,
  withSettings,
} from "./time.ts";

/** How long a jump is shown after the server has answered again. */
const SHOWN_MS = 15 * MINUTE_MS;

let known: ServerClock = beforeAnyAnswer(readClocks());
let isFromServer = false;
let wasHidden = false;
let heardAt = Number.NEGATIVE_INFINITY;

globalThis.document?.addEventListener("visibilitychange", () => {
  wasHidden = true;
});

/** The phone's two clocks now. */
export function readClocks(): PhoneClocks {
  return { wall: Date.now(), count: performance.now() };
}

/** Server time now, whole ms. */
export function serverNow(): number {
  return serverTime(known, readClocks());
}

/** Goes on from what was kept when the page was closed. */
export function resumeFrom(kept: KeptTime): void {
  known = fromKept(readClocks(), kept);
  isFromServer = true;
}

/** What to keep for the time when the page is closed; null as long as no server has told this phone the time. */
export function timeToKeep(): KeptTime | null {
  return isFromServer ? toKeep(known, readClocks()) : null;
}

/** Looks whether the phone's clock was moved; gives server time in whole ms. To be called each second. */
export function checkClock(): number {
  known = withReading(known, readClocks(), !wasHidden);
  wasHidden = globalThis.document?.visibilityState === "hidden";
  return serverNow();
}

/** Server time now and its base, to be kept with what is recorded. */
export function serverWhen(): Required<When> {
  return { ms: serverNow(), base: known.base };
}

/** Takes in how the server's clock was set, as far as this phone has learnt. */
export function noteSettings(settings: readonly Setting[]): void {
  known = withSettings(known, settings);
}

/** Takes in the server's time from an answer; all that came with it has been taken in before. */
export function noteServerTime(heard: Heard): void {
  checkClock();
  known = withAnswer(known, heard);
  isFromServer = true;
  heardAt = serverNow();
}

/** A sentence about a jump of the phone's clock; null when there was none lately. */
export function jumpWarning(): string | null {
  const { jump } = known;
  if (!jump) return null;
  const isChecked = heardAt >= jump.at;
  return isChecked && serverNow() - jump.at > SHOWN_MS ? null : jumpSentence(jump, isChecked);
}
