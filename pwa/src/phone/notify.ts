/**
 * Notifications through the service worker, one for each clock, and the number on the page's icon.
 *
 * A notice that was acknowledged elsewhere is closed as soon as this page knows: at once while it is open, in the
 * background too; otherwise with the next push or when it is opened. Browsers allow no push that shows nothing, so none
 * is sent just to close a notice.
 */
import { inTurn, show } from "../alerts/notice.ts";
import type { Notice } from "../wire.gen.ts";

let wanted: readonly Notice[] = [];
let syncedAt = 0;
let isBusy = false;
let again = false;

/** What this page has shown. A person may have dismissed it, so it is not shown again. */
const shown = new Set<string>();

/** Whether the person has allowed notifications; "missing" where the browser has none. */
export function permission(): NotificationPermission | "missing" {
  return "Notification" in globalThis ? Notification.permission : "missing";
}

/** Asks the person for permission; to be called on a tap. "missing" where the browser has no notifications. */
export async function askPermission(): Promise<NotificationPermission | "missing"> {
  return "Notification" in globalThis ? Notification.requestPermission() : "missing";
}

/**
 * Shows these notices and closes those that ring no more. Shows nothing new while the page itself is seen.
 *
 * synced: the moment up to which this page knows all that the server does, server time in ms. One call at a time is
 * carried out, so that none shows what another has just closed.
 */
export function showNotices(ringing: readonly Notice[], synced: number): void {
  badge(ringing.length);
  [wanted, syncedAt, again] = [ringing, synced, true];
  if (!isBusy) settleAll().catch((error: unknown) => console.error(error));
}

async function settleAll(): Promise<void> {
  if (permission() !== "granted" || !("serviceWorker" in navigator)) return;
  isBusy = true;
  try {
    const worker = await navigator.serviceWorker.ready;
    while (again) {
      again = false;
      await inTurn(() => settle(worker));
    }
  } finally {
    isBusy = false;
  }
}

async function settle(worker: ServiceWorkerRegistration): Promise<void> {
  const standing = await worker.getNotifications();
  const isSeen = document.visibilityState === "visible";
  for (const notice of standing) if (isOver(notice.data, isSeen)) notice.close();
  for (const name of shown) if (!wanted.some((notice) => nameOf(notice) === name)) shown.delete(name);
  if (isSeen) return;
  for (const notice of wanted) {
    if (shown.has(nameOf(notice))) continue;
    shown.add(nameOf(notice));
    if (!standing.some(({ data }) => nameOf(data) === nameOf(notice))) await show(worker, notice, Date.now());
  }
}

/**
 * Whether a notice no longer rings, as far as this page can know: it showed the notice itself, or the server has answered
 * since. The next ring of the same clock replaces the notice by itself, unless the page is seen.
 */
function isOver(data: Notice | null, isSeen: boolean): boolean {
  if (!data?.ring) return false;
  const isKnown = shown.has(nameOf(data)) || data.sent <= syncedAt;
  const rings = wanted.some((one) => one.tag === data.tag && (!isSeen || one.ring === data.ring));
  return isKnown && !rings;
}

function nameOf(notice: Notice | null): string {
  return `${notice?.tag} ${notice?.ring}`;
}

function badge(count: number): void {
  if ("setAppBadge" in navigator) navigator.setAppBadge(count).catch(() => undefined);
}
