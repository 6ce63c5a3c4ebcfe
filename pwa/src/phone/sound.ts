/**
 * Tones that can be heard beside machines: one pattern for each kind of ring, louder with each round until acknowledged.
 * Two alternating tones between 1 and 4 kHz stand out of a machine's hum and pass ear muffs (common practice).
 */
import type { ClockKind } from "../bench/clocks.ts";

/** hz: tones in turn. beat: how long each, in s. every: from one round to the next, in s. buzz: ms on and off. */
type Pattern = {
  readonly hz: readonly number[];
  readonly beat: number;
  readonly every: number;
  readonly buzz: readonly number[];
};

const PATTERNS: Readonly<Record<ClockKind, Pattern>> = {
  open: { hz: [2600, 2000, 2600, 2000], beat: 0.11, every: 1.2, buzz: [120, 60, 120, 60, 120] },
  pot: { hz: [2200, 2600, 2200], beat: 0.14, every: 1.6, buzz: [160, 80, 160] },
  "in-clamps": { hz: [1050, 1400, 2100], beat: 0.22, every: 2.5, buzz: [400, 150, 400] },
  "squeeze-out": { hz: [1400, 1050], beat: 0.2, every: 4, buzz: [200, 100, 200] },
  "wipe-off": { hz: [1750, 1750, 2300], beat: 0.16, every: 2, buzz: [200, 80, 300] },
  recoat: { hz: [1050, 1300], beat: 0.3, every: 6, buzz: [300] },
  rest: { hz: [900, 1200], beat: 0.3, every: 6, buzz: [300] },
  cure: { hz: [900, 1050], beat: 0.35, every: 10, buzz: [300] },
  rags: { hz: [2600, 1300], beat: 0.3, every: 1.8, buzz: [500, 200, 500] },
};

const FIRST_LOUDNESS = 0.25;
const LOUDER_EACH_ROUND = 1.25;

let context: AudioContext | null = null;
let round: ReturnType<typeof setTimeout> | null = null;
let playing: string | null = null;

/** Allows the page to sound. To be called on a tap: browsers keep a page silent until then. */
export function unlock(): void {
  if (!("AudioContext" in globalThis)) return;
  context ??= new AudioContext();
  if (context.state === "suspended") context.resume().catch(() => undefined);
}

/** Whether the page may sound: false until the first tap, and where the browser has no sound. */
export function canSound(): boolean {
  return context?.state === "running";
}

/** Rings for this again and again until it is called with null. Calling it for what rings already changes nothing. */
export function keepRinging(ring: { readonly name: string; readonly kind: ClockKind } | null): void {
  if (ring?.name === playing) return;
  if (round !== null) clearTimeout(round);
  round = null;
  playing = ring?.name ?? null;
  document.documentElement.dataset.rings = ring?.kind ?? "";
  buzz([0]);
  if (ring) play(PATTERNS[ring.kind], FIRST_LOUDNESS);
}

/** Browsers that want a tap first warn in the console on each try, so it is not tried before one. */
function buzz(pattern: readonly number[]): void {
  if (navigator.userActivation?.hasBeenActive ?? true) navigator.vibrate?.([...pattern]);
}

/** One round, then the next, louder. */
function play(pattern: Pattern, loudness: number): void {
  buzz(pattern.buzz);
  if (context?.state === "running") {
    pattern.hz.forEach((hz, n) => {
      if (context) tone(context, hz, n * pattern.beat, pattern.beat, loudness);
    });
  }
  round = setTimeout(() => play(pattern, Math.min(1, loudness * LOUDER_EACH_ROUND)), pattern.every * 1000);
}

/** One tone, with soft edges so that it does not click. after, length: in s. */
function tone(on: AudioContext, hz: number, after: number, length: number, loudness: number): void {
  const begin = on.currentTime + after;
  const source = new OscillatorNode(on, { type: "square", frequency: hz });
  const volume = new GainNode(on, { gain: 0 });
  volume.gain.setTargetAtTime(loudness, begin, 0.005);
  volume.gain.setTargetAtTime(0, begin + length * 0.8, 0.01);
  source.connect(volume).connect(on.destination);
  source.start(begin);
  source.stop(begin + length);
}

/** The tone in Hz, and the buzz in ms on and off, that say a label was taken, or was not. */
const TAKEN = { hz: 1320, buzz: [35] };
const NOT_TAKEN = { hz: 523, buzz: [70, 60, 70] };
const ANSWER_S = 0.12;
const ANSWER_LOUDNESS = 0.2;

/** Says yes or no without words, for eyes that are on the work. Silent where the browser has neither sound nor buzz. */
export function soundAnswer(isTaken: boolean): void {
  const answer = isTaken ? TAKEN : NOT_TAKEN;
  navigator.vibrate?.(answer.buzz);
  unlock();
  if (context) tone(context, answer.hz, 0, ANSWER_S, ANSWER_LOUDNESS);
}
