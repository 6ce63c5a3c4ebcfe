/**
 * Notifications through the service worker, one for each clock, and the number on the page's icon.
 *
 * What was heard elsewhere is taken away as soon as this page knows: at once while it is open, in the background too,
 * else with the next push or when it is opened. Browsers let no push take a notice away unseen: each has to show
 * something, so that none is sent for that alone.
 */
import { inTurn, type Notice, show } from "../alerts/notice.ts";

let wanted: readonly Notice[] = [];
let syncedAt = 0;
let isBusy = false;
let again = false;

/** What this page has shown; a person may have wiped it away, and does not want it back. */
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
 * Shows these and takes away what rings no more. Nothing new is shown while the page itself is seen.
 *
 * synced: until when this page knows all that the server does, server time in ms. One at a time, so that none shows
 * what another has just taken away.
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
 * Whether a notice that stands has nothing to tell any more, as far as this page can know: it showed it itself, or has
 * heard from the server since. The next ring of the same clock takes its place by itself, unless the page is seen.
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
