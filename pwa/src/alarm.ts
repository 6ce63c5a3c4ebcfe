/** Ties what rings to this phone's senses: sound, buzz, notices, the screen that stays on. */
import { effect } from "@preact/signals";
import { acknowledge, end } from "./acknowledge.ts";
import type { Action, Notice } from "./alerts/notice.ts";
import { ringText } from "./bench/clock_kinds.ts";
import { MINUTE_MS } from "./durations.ts";
import { builds, go, now, type RingingNow, ringing, route, running, syncedAt } from "./live.ts";
import { showNotices } from "./phone/notify.ts";
import { keepRinging, unlock } from "./phone/sound.ts";
import { keepAwake } from "./phone/wake.ts";
import { wanted } from "./screens/operation/wanted.ts";
import { operationPath } from "./screens/paths.ts";
import { fullTitle } from "./screens/words/names.ts";
import { waitUntil } from "./wait_until.ts";

/** The screen stays on while a clock runs that ends within this time. */
const SHORT = 15 * MINUTE_MS;

/** A push may tell of a clock before this page has heard of it from the server. */
const NEWS_MS = 10_000;

/** Whose clock a notice is about. */
type About = Pick<RingingNow, "build" | "operation" | "kind">;

/** From now on the phone rings. */
export function startAlarms(): void {
  addEventListener("pointerdown", unlock);
  addEventListener("keydown", unlock);
  effect(() => keepRinging(ringing.value[0] ?? null));
  effect(() => keepAwake(route.value.screen === "wall" || running.value.some(isShort)));
  effect(() => showNotices(ringing.value.map(noticeOf), syncedAt.value));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => {
    if (data?.notice) void answer(data.notice, data.action);
  });
  const { screen, ...place } = route.value;
  const tapped = new URLSearchParams(location.search);
  const action = tapped.get("do");
  if (screen !== "operation" || !action) return;
  history.replaceState(null, "", location.pathname);
  void answer({ ...place, kind: tapped.get("clock") } as About, action as Action);
}

/** A deadline or a wait that ends soon. */
function isShort({ least, most }: { readonly least: number | null; readonly most: number | null }): boolean {
  const end = most ?? least;
  return end !== null && end > now.value && end - now.value < SHORT;
}

/** A ring as a notice, as the server would push it: under the same tag, so that none stands there twice. */
function noticeOf({ build, operation, kind, stage, name, at }: RingingNow): Notice {
  const view = builds.value.find(({ id }) => id === build);
  const started = name.slice(name.lastIndexOf("|") + 1);
  const { title, text } = ringText(kind, stage);
  return {
    title,
    about: view ? `${fullTitle(view.sheet, operation)} · ${view.name}` : operation,
    text,
    tag: `${build}|${operation}|${kind}|${started}`,
    ...{ build, operation, kind, stage, ring: name, at, due: at, sent: now.peek() },
    ringing: null,
    url: operationPath(build, operation),
  };
}

/** Does what was tapped on a notice, and shows the operation it was about. */
async function answer(about: About, action: Action): Promise<void> {
  const isIt = ({ build, operation, kind }: About) =>
    build === about.build && operation === about.operation && kind === about.kind;
  go(operationPath(about.build, about.operation));
  await waitUntil(() => running.value.some(isIt), NEWS_MS);
  const ring = ringing.value.find(isIt);
  if (action === "longer" && running.value.some(isIt)) wanted.value = about;
  if (!ring) return; // heard, ended or made longer meanwhile: what was tapped is no answer to that
  await acknowledge(ring);
  if (action === "end") await end(ring);
}
