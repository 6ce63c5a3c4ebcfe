/** Notifications through the service worker, one for each clock, and the number on the page's icon. */

/** What is to be shown. tag: one for each clock, so that none stands there twice. path: where a tap leads. */
export type Notice = {
  readonly tag: string;
  readonly title: string;
  readonly body: string;
  readonly path: string;
  readonly actions: readonly { readonly action: string; readonly title: string }[];
};

const shown = new Set<string>();

/** Whether the person has allowed notifications; "missing" where the browser has none. */
export function permission(): NotificationPermission | "missing" {
  return "Notification" in globalThis ? Notification.permission : "missing";
}

/** Asks the person, on a tap. */
export async function ask(): Promise<NotificationPermission | "missing"> {
  return "Notification" in globalThis ? Notification.requestPermission() : "missing";
}

/** Shows these and takes away every other of ours. Nothing is shown while the page itself is seen. */
export async function showNotices(notices: readonly Notice[]): Promise<void> {
  badge(notices.length);
  if (permission() !== "granted" || !("serviceWorker" in navigator)) return;
  const worker = await navigator.serviceWorker.ready;
  const wanted = new Set(notices.map(({ tag }) => tag));
  for (const notice of await worker.getNotifications()) {
    if (shown.has(notice.tag) && !wanted.has(notice.tag)) notice.close();
  }
  for (const tag of shown) if (!wanted.has(tag)) shown.delete(tag);
  if (document.visibilityState === "visible") return;
  for (const notice of notices) {
    if (!shown.has(notice.tag)) await show(worker, notice);
  }
}

async function show(worker: ServiceWorkerRegistration, { tag, title, body, path, actions }: Notice): Promise<void> {
  shown.add(tag);
  const options = { tag, body, icon: "/icon-192.png", requireInteraction: true, data: { path }, actions };
  await worker.showNotification(title, options as NotificationOptions);
}

function badge(count: number): void {
  if ("setAppBadge" in navigator) navigator.setAppBadge(count).catch(() => undefined);
}
