/** Web push (W3C Push API): the server reaches this device with the page closed, where there is internet. */

const TIMEOUT_MS = 15_000;

/** Whether this browser can be pushed to at all. */
export function canBePushed(): boolean {
  return "PushManager" in globalThis && "serviceWorker" in navigator;
}

/**
 * Subscribes to pushes with the server's key.
 *
 * Rejects with a sentence when the browser's push service does not answer in time, or refuses.
 */
export async function subscribe(key: string): Promise<PushSubscriptionJSON> {
  const worker = await navigator.serviceWorker.ready;
  const asked = worker.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
  const late = new Promise<never>((_, reject) => {
    setTimeout(() => reject(new Error("The browser's push service does not answer.")), TIMEOUT_MS);
  });
  return (await Promise.race([asked, late])).toJSON();
}

/** Ends the browser's subscription. Rejects when the browser cannot. */
export async function unsubscribe(): Promise<void> {
  const worker = await navigator.serviceWorker.ready;
  const known = await worker.pushManager?.getSubscription();
  await known?.unsubscribe();
}
