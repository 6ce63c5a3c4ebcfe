/** Calls once a second, with the page in the background too. */
export function everySecond(beat: () => void): void {
  if (!("Worker" in globalThis)) {
    setInterval(beat, 1000);
    return;
  }
  const worker = new Worker(new URL("./tick.worker.ts", import.meta.url), { type: "module" });
  worker.onmessage = beat;
  worker.onerror = () => {
    worker.terminate();
    setInterval(beat, 1000);
  };
}
