/** The service worker: keeps the page's files and answers from them, shows what is pushed, leads a tap home. */
export {};

declare const self: ServiceWorkerGlobalScope;
/** Set by pwa/precache.ts: what to keep, and a hash of it all. */
declare const PRECACHE: readonly string[];
declare const VERSION: string;

const CACHE = `page-${VERSION}`;

/** What the server pushes; its twin is alerts/push.py Message. */
type Pushed = {
  readonly title: string;
  readonly text: string;
  readonly tag: string;
  readonly kind: string;
  readonly ring: string;
  readonly url: string;
};

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(PRECACHE)));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOlder().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (isOurs(request)) event.respondWith(kept(request).then((answer) => answer ?? fetch(request)));
});

/** The page asks for its new version only when no work is in hand. */
self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
});

self.addEventListener("push", (event) => {
  const pushed = read(event.data);
  event.waitUntil(
    self.registration.showNotification(pushed.title, {
      tag: pushed.tag,
      body: pushed.text,
      icon: "/icon-192.png",
      requireInteraction: true,
      data: { path: pushed.url, kind: pushed.kind, ring: pushed.ring },
    }),
  );
});

self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(lead(event.notification.data, event.action));
});

/** A push that cannot be read still has to be shown: the browser may otherwise take the right to push away. */
function read(data: PushMessageData | null): Pushed {
  try {
    return data?.json();
  } catch {
    return { title: "Something is due", text: "Open the bench.", tag: "due", kind: "", ring: "", url: "/" };
  }
}

/** Shows the page at the notice's place and hands it the action that was tapped. */
async function lead(data: { readonly path: string }, action: string): Promise<void> {
  const [open] = await self.clients.matchAll({ type: "window" });
  if (!open) {
    await self.clients.openWindow(action ? `${data.path}?do=${action}` : data.path);
    return;
  }
  await open.focus();
  open.postMessage({ notice: data, action });
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

async function dropOlder(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
}
