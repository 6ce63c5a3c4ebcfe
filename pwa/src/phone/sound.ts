/**
 * Tones that can be heard beside machines: one pattern for each kind of ring, louder with each round until acknowledged.
 * Two alternating tones between 1 and 4 kHz stand out of a machine's hum and pass ear muffs (common practice).
 */
import { CLOCKS, type ClockKind } from "../bench/clock_kinds.ts";
import type { Tone } from "../wire.gen.ts";

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
  if (ring) play(CLOCKS[ring.kind].tone, FIRST_LOUDNESS);
}

/** Browsers that want a tap first warn in the console on each try, so it is not tried before one. */
function buzz(pattern: readonly number[]): void {
  if (navigator.userActivation?.hasBeenActive ?? true) navigator.vibrate?.([...pattern]);
}

/** One round, then the next, louder. */
function play(pattern: Tone, loudness: number): void {
  buzz(pattern.buzz_ms);
  if (context?.state === "running") {
    pattern.hz.forEach((hz, n) => {
      if (context) tone(context, hz, n * pattern.beat_s, pattern.beat_s, loudness);
    });
  }
  round = setTimeout(() => play(pattern, Math.min(1, loudness * LOUDER_EACH_ROUND)), pattern.every_s * 1000);
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
