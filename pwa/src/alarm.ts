/** Ties what rings to this phone's senses: sound, buzz, notices, the screen that stays on. */
import { effect } from "@preact/signals";
import { builds, go, now, type RingingNow, record, ringing, route, running } from "./live.ts";
import { type Notice, showNotices } from "./phone/notify.ts";
import { keepRinging, unlock } from "./phone/sound.ts";
import { keepAwake } from "./phone/wake.ts";
import { operationPath } from "./screens/paths.ts";
import { CLOCKS, ringWords } from "./screens/words/clocks.ts";
import { fullTitle } from "./screens/words/names.ts";

const MINUTE = 60_000;

/** The screen stays on while a clock runs that ends within this time. */
const SHORT = 15 * MINUTE;

/** What "ten more minutes" on a notice adds. */
const LONGER = 10 * MINUTE;

/** From now on the phone rings. */
export function startAlarms(): void {
  addEventListener("pointerdown", unlock);
  addEventListener("keydown", unlock);
  effect(() => keepRinging(ringing.value[0] ?? null));
  effect(() => keepAwake(route.value.screen === "wall" || running.value.some(isShort)));
  effect(() => void showNotices(ringing.value.map(noticeOf)).catch((error: unknown) => console.error(error)));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => {
    if (data?.notice) act(String(data.notice.path), String(data.action));
  });
  const wanted = new URLSearchParams(location.search).get("do");
  if (wanted) act(location.pathname, wanted);
}

/** A deadline or a wait that ends soon. */
function isShort({ least, most }: { readonly least: number | null; readonly most: number | null }): boolean {
  const end = most ?? least;
  return end !== null && end > now.value && end - now.value < SHORT;
}

/** A ring as a notice. One tag a clock, the same as the server's push bears, so that none stands there twice. */
function noticeOf(ring: RingingNow): Notice {
  const view = builds.value.find(({ id }) => id === ring.build);
  const started = ring.name.slice(ring.name.lastIndexOf("|") + 1);
  const end = CLOCKS[ring.kind].ends;
  return {
    tag: `${ring.build}|${ring.operation}|${ring.kind}|${started}`,
    title: ringWords(ring.kind, ring.stage),
    body: view ? fullTitle(view.sheet, ring.operation) : ring.operation,
    path: operationPath(ring.build, ring.operation),
    actions: end
      ? [
          { action: "end", title: end[0] },
          { action: "longer", title: "Ten more minutes" },
        ]
      : [],
  };
}

/** Does what was tapped on a notice, then shows the operation it was about. */
function act(path: string, action: string): void {
  const ring = ringing.value.find(({ build, operation }) => operationPath(build, operation) === path);
  go(path);
  if (!ring) return;
  const { build, operation, kind, name } = ring;
  const about = [operation];
  void record(build, { kind: "acknowledged", operation, ring: name }, about);
  const end = CLOCKS[kind].ends;
  if (action === "end" && end) void record(build, { kind: end[1], operation }, about);
  if (action === "longer") {
    const reason = "asked for on a notice";
    void record(build, { kind: "lengthened", operation, clock: kind, by_ms: LONGER, reason }, about);
  }
}
