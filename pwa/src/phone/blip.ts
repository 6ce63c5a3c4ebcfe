/** A short tone and a buzz: the label was taken, or it was not. For eyes that are on the work. */

/** Tone in Hz, and the buzz in ms on and off. */
const GOOD = { hz: 1320, buzz: [35] };
const BAD = { hz: 523, buzz: [70, 60, 70] };

const SECONDS = 0.12;
const LOUDNESS = 0.2;

let context: AudioContext | null = null;

/** Says yes or no without words. Silent where the browser has neither sound nor buzz. */
export function blip(good: boolean): void {
  const { hz, buzz } = good ? GOOD : BAD;
  navigator.vibrate?.(buzz);
  if (!("AudioContext" in globalThis)) return;
  context ??= new AudioContext();
  const tone = new OscillatorNode(context, { frequency: hz });
  const volume = new GainNode(context, { gain: LOUDNESS });
  tone.connect(volume).connect(context.destination);
  tone.start();
  tone.stop(context.currentTime + SECONDS);
}
