import { computed, effect } from "@preact/signals";

/** Done once what signals say has come to be so, or after `mostMs`. */
export function waitUntil(isSo: () => boolean, mostMs: number): Promise<void> {
  return new Promise((resolve) => {
    const giveUp = setTimeout(() => stop(), mostMs);
    const so = computed(isSo);
    const end = effect(() => {
      if (so.value) queueMicrotask(() => stop());
    });
    function stop() {
      end();
      clearTimeout(giveUp);
      resolve();
    }
  });
}
