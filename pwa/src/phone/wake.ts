/** Keeps the screen on while a short clock runs (W3C Screen Wake Lock), where the browser can. */

let wanted = false;
let held: WakeLockSentinel | null = null;

/** Keeps the screen on, or no longer. Browsers end it when the page is hidden; it is asked for again when it is shown. */
export function keepAwake(on: boolean): void {
  wanted = on;
  if (on) void hold();
  else {
    held?.release().catch(() => undefined);
    held = null;
  }
}

/** Whether the browser can keep the screen on at all. */
export function canKeepAwake(): boolean {
  return "wakeLock" in navigator;
}

async function hold(): Promise<void> {
  if (!wanted || held || !canKeepAwake() || document.visibilityState !== "visible") return;
  try {
    const lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => {
      if (held === lock) held = null;
    });
    held = lock;
    if (!wanted) keepAwake(false);
  } catch {
    held = null; // low battery: the screen may go dark, the clocks run on
  }
}

globalThis.document?.addEventListener("visibilitychange", () => void hold());
