/** Keeps the screen on while a short clock runs (W3C Screen Wake Lock), where the browser can. */

let wanted = false;
let held: WakeLockSentinel | null = null;
let refused = false;

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

/** Whether the phone refused when it was asked last, as it does on a low battery. */
export function wasRefused(): boolean {
  return refused;
}

async function hold(): Promise<void> {
  if (!wanted || held || !canKeepAwake() || document.visibilityState !== "visible") return;
  try {
    const lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => {
      if (held === lock) held = null;
    });
    [held, refused] = [lock, false];
    if (!wanted) keepAwake(false);
  } catch {
    [held, refused] = [null, true]; // the screen may go dark, the clocks run on
  }
}

globalThis.document?.addEventListener("visibilitychange", () => void hold());
