/**
 * The service worker: serves the page's files without a network, hands out the calendar entries that the page makes,
 * shows what is pushed, opens the page on a tap.
 */

import { ENTRIES, isEntryPath } from "./alerts/entry_address.ts";
import { type Action, inTurn, show } from "./alerts/notice.ts";
import type { Notice } from "./wire.gen.ts";

declare const self: ServiceWorkerGlobalScope;
/** Set by pwa/precache.ts: what to keep, and a hash of it all. */
declare const PRECACHE: readonly string[];
declare const VERSION: string;

const CACHE = `page-${VERSION}`;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(PRECACHE)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOlder().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (isOurs(request)) event.respondWith(kept(request).then((answer) => answer ?? fetch(request)));
  else if (isEntryPath(new URL(request.url).pathname)) event.respondWith(entry(request));
});

/** The page asks for its new version only when no work is in hand. */
self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
});

self.addEventListener("push", (event) => {
  const notice = read(event.data);
  event.waitUntil(inTurn(() => showPushed(notice)));
});

self.addEventListener("notificationclick", (event) => {
  const { notification, action } = event;
  notification.close();
  event.waitUntil(lead(notification.data, (action || "open") as Action));
});

/**
 * Shows a push, and closes the notices of earlier pushes that no longer ring. A page that is not open cannot close them,
 * and browsers allow no push that shows nothing.
 *
 * Notices that the page itself has shown stay: the server may not know their clocks yet.
 */
async function showPushed(notice: Notice): Promise<void> {
  await show(self.registration, notice, Date.now());
  const { ringing, sent } = notice;
  const standing = ringing ? await self.registration.getNotifications() : [];
  for (const other of standing) {
    const { ringing: then, sent: before } = other.data as Notice;
    if (then && before <= sent && !ringing?.includes(other.tag)) other.close();
  }
}

/** A push that cannot be read still has to be shown: the browser may otherwise take the right to push away. */
function read(data: PushMessageData | null): Notice {
  try {
    return data?.json() ?? UNREADABLE;
  } catch {
    return UNREADABLE;
  }
}

const UNREADABLE: Notice = {
  ...{ title: "Something is due", about: "", text: "Open the bench.", tag: "due", url: "/" },
  ...{ build: "", operation: "", kind: "", stage: "", ring: "", at: 0, due: 0, sent: 0, ringing: null },
};

/** Shows the page at the notice's place and hands it what was tapped. */
async function lead(notice: Notice, action: Action): Promise<void> {
  const [open] = await self.clients.matchAll({ type: "window" });
  const tapped = notice.kind ? `?${new URLSearchParams({ do: action, clock: notice.kind })}` : "";
  if (!open) {
    await self.clients.openWindow(notice.url + tapped);
    return;
  }
  if (notice.kind) open.postMessage({ notice, action });
  await open.focus();
}

/** A file of the page or a place in it. All else passes by: a stream of events led through here never reconnects. */
function isOurs(request: Request): boolean {
  const { origin, pathname } = new URL(request.url);
  const isKept = isPlace(request) || PRECACHE.includes(pathname);
  return request.method === "GET" && origin === self.location.origin && isKept;
}

/** The kept file, or for any place in the page the page itself. What the server alone makes is left to it. */
async function kept(request: Request): Promise<Response | undefined> {
  const cache = await caches.open(CACHE);
  return cache.match(isPlace(request) ? "/" : request);
}

/** A place in the page; what ends in a name with a dot, or is a sheet of labels, is the server's. */
function isPlace(request: Request): boolean {
  const { pathname } = new URL(request.url);
  return request.mode === "navigate" && !/(\.[a-z]+|\/labels)$/.test(pathname);
}

/** A calendar entry that the page has just made. */
async function entry(request: Request): Promise<Response> {
  return (await (await caches.open(ENTRIES)).match(request)) ?? fetch(request);
}

async function dropOlder(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
}
