/**
 * Tones that are heard beside machines, one pattern a kind of ring, repeated and rising until acknowledged.
 * Two alternating tones between 1 and 4 kHz stand out of a machine's hum and pass ear muffs (common practice).
 */
import { CLOCKS, type ClockKind } from "../bench/clock_kinds.ts";
import type { Tone } from "../wire.gen.ts";

const FIRST_LOUDNESS = 0.25;
const LOUDER_EACH_ROUND = 1.25;

let context: AudioContext | null = null;
let round: ReturnType<typeof setTimeout> | null = null;
let playing: string | null = null;

/** To be called on a tap: browsers keep a page silent until then. */
export function unlock(): void {
  if (!("AudioContext" in globalThis)) return;
  context ??= new AudioContext();
  if (context.state === "suspended") context.resume().catch(() => undefined);
}

/** Whether the page may sound: false until the first tap, and where the browser has no sound. */
export function canSound(): boolean {
  return context?.state === "running";
}

/** Rings for this, over and over; null stops. Asking again for what rings already changes nothing. */
export function keepRinging(ring: { readonly name: string; readonly kind: ClockKind } | null): void {
  if (ring?.name === playing) return;
  if (round !== null) clearTimeout(round);
  round = null;
  playing = ring?.name ?? null;
  document.documentElement.dataset.rings = ring?.kind ?? "";
  buzz([0]);
  if (ring) play(CLOCKS[ring.kind].tone, FIRST_LOUDNESS);
}

/** Browsers that ask for a tap first say so in the console each time: it is not even tried before. */
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
