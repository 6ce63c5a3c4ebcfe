/**
 * Server time on this phone, never early.
 *
 * The server reads its clock last before it answers, so the answer arrives no earlier than the time in it. Taking the
 * two for the same moment is late by less than the round trip, and never early. The best sample is kept; it grows less
 * exact with age, since the phone's own clock may run fast.
 */

import { momentOf, type Setting } from "../bench/server_clock.ts";
import { MINUTE_MS } from "../durations.ts";
import { timeOfDay } from "../moments.ts";
import { show, TIME } from "../recipe/measure.ts";
import type { ClockSet } from "../wire.gen.ts";

/** Two readings of the phone at once, ms: its clock, which a person may set; and its count since the page was opened. */
export type PhoneClocks = { readonly wall: number; readonly count: number };

/**
 * offset: server time less the phone's clock, at the most careful. delay: of the round trip it comes from; infinite
 * for a guess, when the server has not answered since the page was opened.
 */
export type Sample = { readonly offset: number; readonly delay: number; readonly taken: PhoneClocks };

/**
 * What is kept of time while the page is closed.
 *
 * wall: the phone's clock, seen: server time, both at that clocks. base: as in ServerClock; older pages kept none.
 */
export type KeptTime = {
  readonly offset: number;
  readonly wall: number;
  readonly seen: number;
  readonly base?: number;
};

const GUESS = Number.POSITIVE_INFINITY;

/** by: how far the phone's clock jumped forward, ms; below zero, back. at: server time. */
export type Jump = { readonly by: number; readonly at: number };

/**
 * What this phone knows of the server's time.
 *
 * last: the phone's clocks when they were last read. base: the setting of the server's clock that this time is of.
 */
export type ServerClock = {
  readonly sample: Sample | null;
  readonly last: PhoneClocks;
  readonly jump: Jump | null;
  readonly base: number;
};

/** A server's answer. got: the phone's clocks as it came. ms: server time in it, of the setting `base`. */
export type Heard = {
  readonly sent: PhoneClocks;
  readonly got: PhoneClocks;
  readonly ms: number;
  readonly base: number;
};

/** Less than this is no jump: timers are late, clocks are trimmed. */
const NOTICED_MS = 1_500;
/** How fast a phone's clock may run. Crystals keep within 100 in a million; common practice, no source. */
const DRIFT = 1e-4;

/** Before any answer: the phone's clock counts as right. */
export function beforeAnyAnswer(clocks: PhoneClocks): ServerClock {
  return { sample: null, last: clocks, jump: null, base: 0 };
}

/** Server time in whole ms. */
export function serverTime({ sample }: ServerClock, clocks: PhoneClocks): number {
  return Math.floor(clocks.wall + (sample ? carefulOffset(sample, clocks) : 0));
}

function carefulOffset({ offset, taken }: Sample, clocks: PhoneClocks): number {
  return offset - Math.abs(clocks.wall - taken.wall) * DRIFT;
}

/**
 * The same after the phone's clocks were read again.
 *
 * A clock that went back has jumped. One that went forward has jumped if the page was awake since the last reading;
 * otherwise the phone may have slept, and the next answer of the server decides. Server time runs on in either case.
 * wasAwake: whether the page was in sight since the last reading.
 */
export function withReading(clock: ServerClock, clocks: PhoneClocks, wasAwake: boolean): ServerClock {
  const by = clocks.wall - clock.last.wall - (clocks.count - clock.last.count);
  const isJump = by < -NOTICED_MS || (by > NOTICED_MS && wasAwake);
  if (!isJump) return { ...clock, last: clocks };
  const sample = shifted(clock.sample ?? { offset: 0, delay: GUESS, taken: clock.last }, by);
  const moved = { ...clock, sample, last: clocks };
  return { ...moved, jump: { by, at: serverTime(moved, clocks) } };
}

/** The same sample for a clock that was moved by so many ms. */
function shifted({ offset, delay, taken }: Sample, by: number): Sample {
  return { offset: offset - by, delay, taken: { ...taken, wall: taken.wall + by } };
}

/**
 * The same after an answer of the server.
 *
 * Where it is of a later setting, and nobody recorded how far it was set, the server's machine was started anew: what
 * differs says nothing about this phone. One from before a setting that is known here already is of no use.
 */
export function withAnswer(clock: ServerClock, { sent, got, ms, base }: Heard): ServerClock {
  if (base < clock.base) return clock;
  const heard: Sample = { offset: ms - got.wall, delay: Math.max(0, got.count - sent.count), taken: got };
  const { sample } = clock;
  if (!sample || sample.delay === GUESS || base > clock.base) return { ...clock, sample: heard, base };
  const off = carefulOffset(sample, got) - heard.offset;
  if (off > heard.delay + NOTICED_MS) return { ...clock, sample: heard, jump: { by: off - heard.delay, at: ms } };
  if (-off > sample.delay + NOTICED_MS) return { ...clock, sample: heard, jump: { by: off + sample.delay, at: ms } };
  return off > heard.delay || off < 0 ? { ...clock, sample: heard } : clock;
}

/**
 * The same once it is known how the server's clock was set: its time goes over to the newest setting.
 *
 * So it does at the very moment at which all that was recorded before goes over too, and what runs is not disturbed.
 */
export function withSettings(clock: ServerClock, settings: readonly Setting[]): ServerClock {
  const base = settings.at(-1)?.what.base ?? 0;
  if (base <= clock.base) return clock;
  if (!clock.sample) return { ...clock, base };
  const { ms: by, clock: known } = momentOf({ ms: 0, base: clock.base }, settings);
  const { offset, delay, taken } = clock.sample;
  const sample = { offset: offset + by, delay: known === "unsure" ? GUESS : delay, taken };
  return { ...clock, base, sample, jump: clock.jump && { by: clock.jump.by, at: clock.jump.at + by } };
}

/**
 * What this phone knows as the page is opened, from what was kept when it was closed.
 *
 * A clock that stands before that moment was set back meanwhile: server time goes on from there, late rather than early.
 */
export function fromKept(clocks: PhoneClocks, kept: KeptTime): ServerClock {
  const offset = kept.offset - Math.abs(clocks.wall - kept.wall) * DRIFT;
  const behind = Math.max(0, kept.seen - (clocks.wall + offset));
  const sample = { offset: offset + behind, delay: GUESS, taken: clocks };
  const jump = behind > NOTICED_MS ? { by: -behind, at: kept.seen } : null;
  return { sample, last: clocks, jump, base: kept.base ?? 0 };
}

/** What to keep while the page is closed. */
export function toKeep(clock: ServerClock, clocks: PhoneClocks): KeptTime {
  const seen = serverTime(clock, clocks);
  return { offset: seen - clocks.wall, wall: clocks.wall, seen, base: clock.base };
}

/** A sentence about a jump. isChecked: whether the server has answered since. */
export function jumpSentence({ by, at }: Jump, isChecked: boolean): string {
  const what = `This phone's clock jumped ${by < 0 ? "back" : "forward"} by ${far(by)} at ${timeOfDay(at)}.`;
  return isChecked
    ? `${what} Everything here goes by the server's clock.`
    : `${what} Until the server answers, a ring may come late.`;
}

/** A sentence about a setting of the server's clock. at: the moment, by the clock as it is now. */
export function settingSentence({ by_ms, earlier_ms }: ClockSet, at: number): string {
  if ((earlier_ms ?? null) === null)
    return `The server's clock was ${far(by_ms)} ${by_ms > 0 ? "behind" : "ahead"} until ${timeOfDay(at)}. What runs was not disturbed by that.`;
  return (
    `The server's clock was set ${by_ms > 0 ? "forward" : "back"} by ${far(by_ms)} at ${timeOfDay(at)}, and for how ` +
    "long the server was off before is not known: what runs may end later than shown. Look at another clock."
  );
}

function far(ms: number): string {
  const minutes = Math.abs(ms) / MINUTE_MS;
  return minutes < 2 ? `${Math.round(minutes * 60)} s` : show(Math.round(minutes), TIME, "mm");
}
