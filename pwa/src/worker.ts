/** The service worker: keeps the page's files, and answers from them when there is no network. */
export {};

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
  if (request.method === "GET" && new URL(request.url).origin === self.location.origin) {
    event.respondWith(kept(request).then((answer) => answer ?? fetch(request)));
  }
});

/** The kept file, or for any place in the page the page itself. */
async function kept(request: Request): Promise<Response | undefined> {
  const cache = await caches.open(CACHE);
  return cache.match(request.mode === "navigate" ? "/" : request);
}

async function dropOlder(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
}
