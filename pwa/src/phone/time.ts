/**
 * Server time on this phone, never early.
 *
 * The server's clock is read last before it answers, so that the moment its answer arrives is no earlier than what it
 * says: taking the two for the same moment is late by less than the round trip, and never early. The sample that
 * tells most is kept; it loses a little with age, since the phone's own clock may run fast.
 */
import { MINUTE_MS } from "../durations.ts";
import { show, TIME as TIME_DIM } from "../recipe/measure.ts";

/** Two readings of the phone at once, ms: its clock, which a person may set; and its count since the page was opened. */
export type Moment = { readonly wall: number; readonly count: number };

/**
 * offset: server time less the phone's clock, at the most careful. delay: of the round trip it comes from; infinite
 * for a guess, when the server has not been heard since the page was opened.
 */
export type Sample = { readonly offset: number; readonly delay: number; readonly taken: Moment };

/** What is kept of time while the page is closed. wall: the phone's clock, seen: server time, both at that moment. */
export type KeptTime = { readonly offset: number; readonly wall: number; readonly seen: number };

const GUESS = Number.POSITIVE_INFINITY;

/** by: how far the phone's clock jumped forward, ms; below zero, back. at: server time. */
export type Jump = { readonly by: number; readonly at: number };

/** What is known of time. last: when this was looked at last. */
export type Known = { readonly sample: Sample | null; readonly last: Moment; readonly jump: Jump | null };

/** Less than this is no jump: timers are late, clocks are trimmed. */
const NOTICED_MS = 1_500;
/** How fast a phone's clock may run. Crystals keep within 100 in a million; common practice, no source. */
const DRIFT = 1e-4;

/** Before anything is known: the phone's clock is taken at its word. */
export function unknown(moment: Moment): Known {
  return { sample: null, last: moment, jump: null };
}

/** Server time in whole ms. */
export function serverTime({ sample }: Known, moment: Moment): number {
  return Math.floor(moment.wall + (sample ? carefulOffset(sample, moment) : 0));
}

function carefulOffset({ offset, taken }: Sample, moment: Moment): number {
  return offset - Math.abs(moment.wall - taken.wall) * DRIFT;
}

/**
 * Looks at the phone's clock again.
 *
 * Back is always a jump. Forward, while the page was awake all along, is one too; else the phone has slept, which
 * looks the same from here: the next answer of the server tells. Either way server time runs on as if nothing
 * had happened. wasAwake: the page was in sight since the last look.
 */
export function look(known: Known, moment: Moment, wasAwake: boolean): Known {
  const by = moment.wall - known.last.wall - (moment.count - known.last.count);
  const isJump = by < -NOTICED_MS || (by > NOTICED_MS && wasAwake);
  if (!isJump) return { ...known, last: moment };
  const sample = shifted(known.sample ?? { offset: 0, delay: GUESS, taken: known.last }, by);
  const moved = { ...known, sample, last: moment };
  return { ...moved, jump: { by, at: serverTime(moved, moment) } };
}

/** The same sample in the terms of a clock that was moved. */
function shifted({ offset, delay, taken }: Sample, by: number): Sample {
  return { offset: offset - by, delay, taken: { ...taken, wall: taken.wall + by } };
}

/** Takes in an answer of the server that was asked for at `sent` and here at `got`. */
export function hear(known: Known, sent: Moment, got: Moment, serverMs: number): Known {
  const heard: Sample = { offset: serverMs - got.wall, delay: Math.max(0, got.count - sent.count), taken: got };
  const { sample } = known;
  if (!sample || sample.delay === GUESS) return { ...known, sample: heard };
  const off = carefulOffset(sample, got) - heard.offset;
  if (off > heard.delay + NOTICED_MS) return { ...known, sample: heard, jump: { by: off - heard.delay, at: serverMs } };
  if (-off > sample.delay + NOTICED_MS)
    return { ...known, sample: heard, jump: { by: off + sample.delay, at: serverMs } };
  return off > heard.delay || off < 0 ? { ...known, sample: heard } : known;
}

/**
 * Begins with what was known when the page was closed.
 *
 * A clock that stands before that was set back meanwhile: server time goes on from there, late rather than early.
 */
export function restored(moment: Moment, kept: KeptTime): Known {
  const offset = kept.offset - Math.abs(moment.wall - kept.wall) * DRIFT;
  const behind = Math.max(0, kept.seen - (moment.wall + offset));
  const sample = { offset: offset + behind, delay: GUESS, taken: moment };
  const jump = behind > NOTICED_MS ? { by: -behind, at: kept.seen } : null;
  return { sample, last: moment, jump };
}

/** What to keep while the page is closed. */
export function toKeep(known: Known, moment: Moment): KeptTime {
  const seen = serverTime(known, moment);
  return { offset: seen - moment.wall, wall: moment.wall, seen };
}

const TIME = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });

/** What to say of a jump. isChecked: whether the server was heard since. */
export function jumpWords({ by, at }: Jump, isChecked: boolean): string {
  const minutes = Math.abs(by) / MINUTE_MS;
  const far = minutes < 2 ? `${Math.round(minutes * 60)} s` : show(Math.round(minutes), TIME_DIM, "mm");
  const what = `This phone's clock jumped ${by < 0 ? "back" : "forward"} by ${far} at ${TIME.format(at)}.`;
  return isChecked
    ? `${what} Everything here goes by the server's clock.`
    : `${what} Until the server answers, a ring may come late.`;
}
