/** A ring as a notification: the same whether this page shows it or the server pushed it. */
import { CLOCKS, type ClockKind, endOf, mayWait } from "../bench/clock_kinds.ts";
import { HAPPENINGS } from "../bench/happening_kinds.ts";
import { MINUTE_MS } from "../durations.ts";
import { clockTime, span } from "../moments.ts";
import type { Notice } from "../wire.gen.ts";

/** What may be tapped on a notice. Some browsers show two of them, some none; a tap beside them opens too. */
export type Action = "end" | "longer" | "open";

type Button = { readonly action: Action; readonly title: string };

/** A page put to sleep in the middle of its turn must not keep a push from being shown. */
const LONGEST_WAIT = 2000;

const GLUE_SET = "Glue set";

/**
 * Does what shows notices, or asks which stand, one at a time over the worker and all tabs: Chromium, asked while one
 * is just being shown, takes that one for gone and drops it.
 */
export async function inTurn<T>(work: () => Promise<T>): Promise<T> {
  if (!navigator.locks) return work();
  let isBegun = false;
  const begun = () => {
    isBegun = true;
    return work();
  };
  try {
    return await navigator.locks.request("benchbell-notices", { signal: AbortSignal.timeout(LONGEST_WAIT) }, begun);
  } catch (error) {
    if (isBegun) throw error;
    return work();
  }
}

/**
 * Shows it; a notice of the same clock gives its place to it, without being taken away first.
 *
 * now: by this device's own clock, whose time its owner sees. It sounds again only for a ring that does not stand yet.
 */
export async function show(on: ServiceWorkerRegistration, notice: Notice, now: number): Promise<void> {
  const standing = await on.getNotifications({ tag: notice.tag });
  const isNew = !standing.some(({ data }) => data?.ring === notice.ring);
  const options = {
    tag: notice.tag,
    body: bodyOf(notice, now),
    icon: "/icon-192.png",
    requireInteraction: true,
    renotify: isNew,
    silent: false,
    actions: actionsOf(notice),
    data: notice,
  };
  await on.showNotification(notice.title, options);
}

/** What it is about, how late it is, and what to do. */
export function bodyOf({ about, text, due }: Notice, now: number): string {
  const late = due && now - due >= MINUTE_MS ? `${span(now - due)} late, due ${clockTime(due, now)}.` : "";
  return [about, late, text].filter(Boolean).join("\n");
}

/** The most wanted first. */
export function actionsOf({ kind, stage, unclamped }: Notice): readonly Button[] {
  const known = Object.hasOwn(CLOCKS, kind) ? (kind as ClockKind) : null;
  const end = known && endOf(known, stage);
  return [
    ...(end ? [{ action: "end", title: unclamped ? GLUE_SET : HAPPENINGS[end].button } as const] : []),
    ...(known && mayWait(known, stage) ? [{ action: "longer", title: "Ten more minutes" } as const] : []),
    ...(kind ? [{ action: "open", title: "Open" } as const] : []),
  ];
}
