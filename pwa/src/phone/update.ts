/**
 * New versions of the page: fetched while the old one is in use, and loaded when it is safe.
 *
 * What was recorded is not lost by that: the outbox is in the phone's store, which the next version opens.
 */
import { HOUR_MS } from "../durations.ts";

const LOOK_MS = HOUR_MS;

let asked = false;

/** Registers the worker, and calls `onReady` when a newer page is ready to be loaded. Never rejects. */
export async function watchVersions(onReady: () => void): Promise<void> {
  const { serviceWorker } = navigator;
  if (!serviceWorker) return;
  let isOld = serviceWorker.controller !== null;
  serviceWorker.addEventListener("controllerchange", () => {
    if (isOld) reloadWhenUnseen();
    isOld = true; // the first worker of all brings nothing new
  });
  try {
    const registration = await serviceWorker.register("/worker.js");
    // WebKit has the very first worker in charge while that still waits: a newer one waits beside an active one.
    const look = () => serviceWorker.controller && registration.active && registration.waiting && onReady();
    look();
    registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", look));
    setInterval(lookForVersion, LOOK_MS);
  } catch (error) {
    console.error(error); // plain http, or the server is away: the page works without its worker
  }
}

/** Asks the server whether there is a newer page. */
export function lookForVersion(): void {
  navigator.serviceWorker
    ?.getRegistration()
    .then((registration) => registration?.update())
    .catch(() => undefined); // away: asked again later
}

/** Loads the page again in its new version. Rejects when the browser cannot say which versions there are. */
export async function loadNewVersion(): Promise<void> {
  asked = true;
  const registration = await navigator.serviceWorker?.getRegistration();
  if (registration?.waiting) registration.waiting.postMessage("take over");
  else location.reload();
}

/** At once where this tab asked for it; where another tab did, once nobody looks, so that nothing typed is lost. */
function reloadWhenUnseen(): void {
  if (asked || document.visibilityState === "hidden") location.reload();
  else document.addEventListener("visibilitychange", () => location.reload(), { once: true });
}
