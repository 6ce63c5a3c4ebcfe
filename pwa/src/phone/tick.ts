/**
 * Calls once a second, with the page in the background too.
 *
 * Gives a function that asks for one more call in so many ms, in place of the one asked for before: for a moment
 * between two seconds.
 */
export function everySecond(beat: () => void): (ms: number) => void {
  if (!("Worker" in globalThis)) return beatHere(beat);
  const worker = new Worker(new URL("./tick.worker.ts", import.meta.url), { type: "module" });
  let soon = (ms: number) => worker.postMessage(ms);
  worker.onmessage = beat;
  worker.onerror = () => {
    worker.terminate();
    soon = beatHere(beat);
  };
  return (ms) => soon(ms);
}

function beatHere(beat: () => void): (ms: number) => void {
  let extra: ReturnType<typeof setTimeout> | undefined;
  setInterval(beat, 1000);
  return (ms) => {
    clearTimeout(extra);
    extra = setTimeout(beat, ms);
  };
}
