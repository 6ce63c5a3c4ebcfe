/** What rings, made known on this phone: by sound, buzz and notices, with the screen kept on; and what is answered. */

import { effect } from "@preact/signals";
import type { Action } from "../../alerts/notice.ts";
import type { Alarm } from "../../alerts/schedule.ts";
import { clockRemark, endOf, ringText } from "../../bench/clock_kinds.ts";
import { isUnclamped } from "../../bench/unclamped.ts";
import { MINUTE_MS } from "../../durations.ts";
import { go, path } from "../../live/navigation.ts";
import { record } from "../../live/record.ts";
import { waitUntil } from "../../live/signals.ts";
import { builds, interrupting, now, ringing, running, syncedAt } from "../../live/state.ts";
import { showNotices } from "../../phone/notify.ts";
import { keepRinging, unlock } from "../../phone/sound.ts";
import { keepAwake } from "../../phone/wake.ts";
import type { Notice } from "../../wire.gen.ts";
import { longerWanted } from "../operation/longer.tsx";
import { subjectsOf } from "../operation/steps.ts";
import { match, OPERATION, operationPath, WALL } from "../paths.ts";
import { fullTitle, operationOf } from "../words/names.ts";

/** The screen stays on while a clock runs that ends within this time. */
const SHORT = 15 * MINUTE_MS;

/** How long to wait for a clock that a push named before this page has it from the server, ms. */
const NEWS_MS = 10_000;

/** Whose clock a notice is about. */
type About = Pick<Alarm, "build" | "operation" | "kind">;

/** Starts to ring, to show notices, and to keep the screen on, until the page is closed. */
export function startAlarms(): void {
  addEventListener("pointerdown", unlock);
  addEventListener("keydown", unlock);
  effect(() => keepRinging(interrupting.value[0] ?? null));
  effect(() => keepAwake(path.value === WALL || running.value.some(isShort)));
  effect(() => showNotices(interrupting.value.map(noticeOf), syncedAt.value));
  navigator.serviceWorker?.addEventListener("message", ({ data }) => {
    if (data?.notice) void answerNotice(data.notice, data.action);
  });
  const place = match(OPERATION, path.value);
  const tapped = new URLSearchParams(location.search);
  const action = tapped.get("do");
  if (!place || !action) return;
  history.replaceState(null, "", location.pathname);
  void answerNotice({ ...place, kind: tapped.get("clock") } as About, action as Action);
}

/** A deadline or a wait that ends soon. */
function isShort({ least, most }: { readonly least: number | null; readonly most: number | null }): boolean {
  const end = most ?? least;
  return end !== null && end > now.value && end - now.value < SHORT;
}

/** A ring as the notice that the server would push for it: with the same tag, so that none is shown twice. */
function noticeOf({ build, operation, kind, stage, name, at }: Alarm): Notice {
  const view = builds.value.find(({ id }) => id === build);
  const known = view && operationOf(view.sheet, operation);
  const { title, text } = ringText(kind, stage, known);
  const stamp = name.slice(name.lastIndexOf("|") + 1);
  const clock = running.value.find(isClockOf({ build, operation, kind }));
  return {
    title,
    text: [text, clock && clockRemark(clock)].filter(Boolean).join(" "),
    about: view ? `${fullTitle(view.sheet, operation)} · ${view.name}` : operation,
    tag: `${build}|${operation}|${kind}|${stamp}`,
    ...{ build, operation, kind, stage, ring: name, at, due: at, sent: now.peek() },
    ringing: null,
    url: operationPath(build, operation),
    unclamped: known !== undefined && isUnclamped(known),
  };
}

function isClockOf(about: About): (clock: About) => boolean {
  return ({ build, operation, kind }) => build === about.build && operation === about.operation && kind === about.kind;
}

/** Does what was tapped on a notice, and shows the operation it was about. */
async function answerNotice(about: About, action: Action): Promise<void> {
  const isIt = isClockOf(about);
  go(operationPath(about.build, about.operation));
  await waitUntil(() => running.value.some(isIt), NEWS_MS);
  const ring = ringing.value.find(isIt);
  if (action === "longer" && running.value.some(isIt)) longerWanted.value = about;
  if (!ring) return; // acknowledged, ended or made longer meanwhile: the tap no longer applies
  await acknowledge(ring);
  if (action === "end") await end(ring);
}

/** Acknowledges a ring: it falls silent on every device. Never rejects. */
export function acknowledge({ build, operation, name }: Alarm): Promise<void> {
  return record(build, { kind: "acknowledged", operation, ring: name }, [operation]);
}

/** Records that what the clock waited for is done; nothing where hearing the ring is enough. Never rejects. */
export async function end({ build, operation, kind, stage }: Alarm): Promise<void> {
  const view = builds.value.find(({ id }) => id === build);
  const known = view && operationOf(view.sheet, operation);
  const ends = endOf(kind, stage);
  if (known && ends) await record(build, { kind: ends, operation }, subjectsOf(known));
}
