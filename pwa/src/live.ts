/**
 * Signals: the one place that holds state on the phone. All moments are server time in whole ms.
 *
 * What is recorded is shown at once, then kept on the phone, then sent. Trouble on that way shows in `syncing`.
 */
import { computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { type Quiet, readQuiet } from "./alerts/quiet.ts";
import { type Alarm, due, nextChange, type RunningClock } from "./alerts/schedule.ts";
import { clocksOfAll } from "./bench/clocks.ts";
import {
  type BuildSummary,
  type BuildView,
  bearerOf,
  byAge,
  isNeeded,
  isOpen,
  LoadedBuilds,
  SHOP,
  summaryOf,
} from "./bench/loaded_builds.ts";
import { type Advice, adviceFor } from "./bench/next.ts";
import { leading } from "./bench/planned.ts";
import type { Raw } from "./bench/read.ts";
import type { ShopState } from "./bench/shop.ts";
import { onAnotherDay } from "./controls/moments.ts";
import { persisted, recall } from "./persisted.ts";
import { dayEnds } from "./phone/day.ts";
import { glance, hearServer, keptTime, moment, serverNow, trouble, wind } from "./phone/server_time.ts";
import { everySecond } from "./phone/tick.ts";
import type { KeptTime } from "./phone/time.ts";
import { look, takeOver, watchVersions } from "./phone/update.ts";
import { startPhotos } from "./photos.ts";
import { plan, watchPlan } from "./plan.ts";
import { type Route, routeOf } from "./route.ts";
import { stableList } from "./stable_list.ts";
import { type Database, keep, openDatabase, readBuild, readKept, readMeta, readOpen } from "./store/database.ts";
import { type Page, Recorder } from "./store/recorder.ts";
import type { SyncState, SyncView } from "./store/sender.ts";
import { askForBuild, askSync } from "./store/server.ts";
import { later, newId, stampAfter } from "./store/stamp.ts";
import { waitUntil } from "./wait_until.ts";
import type { Finding, Happening, Stamp } from "./wire.gen.ts";

export type { Advice, BuildSummary, BuildView, Route, RunningClock, SyncState, SyncView };
export type What = NonNullable<Happening["what"]>;
export type RingingNow = Alarm;
export type ShopView = ShopState;
export type Started =
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly what: string; readonly next_step: string; readonly findings?: readonly Finding[] };

/** Open builds first, the newest first; after them others whose clocks run on, or that somebody looks at. */
export const builds: Signal<readonly BuildView[]> = signal([]);
/** Every build this phone knows of. */
export const summaries: Signal<readonly BuildSummary[]> = signal([]);
export const shop: Signal<ShopView> = signal({ settings: {}, readings: [] });
export const now: Signal<number> = signal(serverNow());
export const syncing: Signal<SyncView> = signal({ waiting: 0, since: null, state: "synced", sentence: "" });
/** Until when this page knows all that the server does, server time; 0: it was not heard yet. */
export const syncedAt: Signal<number> = signal(0);
/** What is wrong with this phone's own clock, in a sentence. */
export const clockTrouble: Signal<string | null> = signal(null);
/** Whether a newer version of the page lies ready; takeNewVersion loads it. */
export const newVersion: Signal<boolean> = signal(false);
export const units = persisted<"mm" | "in">("units", "mm", (kept) => kept === "mm" || kept === "in");
export const route: Signal<Route> = signal(routeOf(globalThis.location?.pathname ?? "/"));

/** Over all builds that are at hand, soonest moment first. The same list until something changes. */
export const running: ReadonlySignal<readonly RunningClock[]> = stableList(() =>
  clocksOfAll(builds.value, shop.value.readings, now.value),
);

/** When only what cannot wait may ring; null for never. */
export const quiet: ReadonlySignal<Quiet | null> = computed(() => readQuiet(shop.value.settings.quiet));

const benches = computed(() => new Map(builds.value.map(({ id, bench }) => [id, bench])));

/** What rings and was not heard yet, what is most urgent first. */
export const ringing: ReadonlySignal<readonly RingingNow[]> = stableList(() =>
  due(running.value, benches.value, quiet.value, now.value),
);

const coming = computed(() => nextChange(running.value, quiet.value, now.value));

const minute = computed(() => Math.floor(now.value / 60_000));

/** What is for the hands; looked at anew when something changes, and each minute. */
export const advice: ReadonlySignal<Advice> = computed(() => {
  minute.value;
  const open = builds.value.filter(({ bench }) => isOpen(bench));
  const planned = leading(plan.value?.steps ?? [], open, (ms) => onAnotherDay(ms, now.peek()));
  return adviceFor(open, running.value, now.peek(), dayEnds(shop.value.settings, now.peek()), planned);
});

const SECOND = 1_000;
const TICK_MS = 250;
const KEEP_TIME_EACH = 30;
const WAIT_FOR_BUILD_MS = 10_000;

const chance = (bytes: Uint8Array<ArrayBuffer>) => crypto.getRandomValues(bytes);
const loaded = new LoadedBuilds();
const opened = new Set<string>();
let answeredAt = 0;
let last: Stamp | null = null;
let desk: { readonly db: Database; readonly device: string; readonly recorder: Recorder } | null = null;

/** Loads a finished build's book too; null for a build that this phone does not know. */
export async function openBuild(id: string): Promise<BuildView | null> {
  await load(id);
  opened.add(id);
  if (loaded.view(id) && !builds.value.some((view) => view.id === id)) show(new Set([id]));
  return loaded.view(id);
}

/** Whose label that is, among the builds at hand. */
export function findCode(code: string): { build: BuildView; id: string; old: boolean } | null {
  return bearerOf(builds.value, code);
}

/** The same, in finished builds too. */
export async function findOldCode(code: string): Promise<{ build: BuildView; id: string; old: boolean } | null> {
  const found = findCode(code);
  const summary = summaries.value.find(({ labels }) => labels.includes(code));
  if (found || !summary) return found;
  const build = await openBuild(summary.id);
  return build && bearerOf([build], code);
}

/** Shows it at once, and that it waits; done when it is kept. Rejects never: trouble shows in `syncing`. */
export async function record(build: string, what: What, about: readonly string[]): Promise<void> {
  if (!desk) return;
  if (!loaded.has(build)) await load(build);
  last = stampAfter(last, serverNow(), desk.device);
  const raw: Raw = { id: newId(last.ms, chance), n: 0, at: last, build, about, what };
  show(loaded.add([raw]));
  await desk.recorder.keep(raw);
  void navigator.storage?.persist?.().catch(() => false); // asked with each tap: browsers grant it to pages in use
}

/** What was recorded by mistake no longer counts. */
export function undo(build: string, happening: string): Promise<void> {
  return record(build, { kind: "undone", happening }, loaded.find(build, happening)?.about ?? []);
}

/** Has the server start a build, and waits until its sheet is here. */
export async function startBuild(recipe: string, pieces: number, name: string): Promise<Started> {
  const id = newId(serverNow(), chance);
  const reply = desk && (await askForBuild({ id, recipe, pieces, name }, desk.device));
  if (!reply)
    return {
      ok: false,
      what: "The server does not answer.",
      next_step: "Look whether it runs and this device is on the shop's network, then try again.",
    };
  if ("problem" in reply) return { ok: false, ...reply.problem };
  desk?.recorder.poke();
  await waitUntil(() => builds.value.some((view) => view.id === id), WAIT_FOR_BUILD_MS);
  return { ok: true, id };
}

/** Opens what the phone keeps, shows it, and begins to talk to the server. */
export async function start(): Promise<void> {
  const db = await openDatabase("benchbell", () => location.reload());
  const [meta, time] = await Promise.all([readMeta(db, chance), readKept(db, "time"), recall(db)]);
  if (time) wind(time as KeptTime);
  last = meta.stamp;
  const found = await readOpen(db, serverNow());
  summaries.value = [...found.summaries].sort(byAge);
  show(loaded.add(found.raws));
  const world = { after, chance: Math.random };
  const recorder = new Recorder(db, page, world);
  desk = { db, device: meta.device, recorder };
  const photos = startPhotos(db, meta.device, world);
  effect(() => void (syncing.value.state === "synced" && photos.poke()));
  tick(db);
  watchWindow(recorder);
  recorder.wake();
  void watchPlan(db, meta.device, { syncing, builds, shop });
  effect(() => void (syncing.value.state === "page too old" && look()));
  await watchVersions(() => {
    newVersion.value = true;
  });
}

/** Loads the new version of the page; what waits on this phone stays. */
export function takeNewVersion(): Promise<void> {
  return takeOver();
}

/** This device's own name to the server; "" until the phone's store is open. */
export function deviceId(): string {
  return desk?.device ?? "";
}

/** To another place in the page. */
export function go(path: string): void {
  if (path !== location.pathname) history.pushState(null, "", path);
  route.value = routeOf(new URL(path, location.href).pathname);
}

/** The page, as the recorder sees it. */
const page: Page = {
  fold: async (came) => {
    for (const build of new Set(came.map((raw) => raw.build))) await load(build);
    for (const { at } of came) last = later(last, at);
    const touched = loaded.add(came);
    show(touched);
    return summariesOf(touched);
  },
  summaries: (raws) => summariesOf(new Set(raws.map(({ build }) => build))),
  tell: (view) => {
    syncing.value = view;
    if (view.state !== "synced") return;
    syncedAt.value = answeredAt;
    putAway();
  },
  ask: async (body, device) => {
    const sent = moment();
    const reply = await askSync(body, device);
    if (!reply || !("answer" in reply)) return reply;
    answeredAt = reply.answer.server_time;
    hearServer(sent, answeredAt);
    return reply;
  },
};

/** Brings the book of a build that is not at hand; an empty one for a build never heard of. */
async function load(build: string): Promise<void> {
  if (desk && !loaded.has(build)) loaded.add(await readBuild(desk.db, build));
}

/** Takes changed builds into the signals. */
function show(touched: ReadonlySet<string>): void {
  if (touched.has(SHOP)) shop.value = loaded.shop();
  const views = [...touched].flatMap((build) => loaded.view(build) ?? []);
  if (views.length === 0) return;
  const told = views.map(summaryOf);
  summaries.value = [...summaries.value.filter(({ id }) => !touched.has(id)), ...told].sort(byAge);
  const needed = new Set(told.filter(isNeeded).map(({ id }) => id));
  const atHand = new Set([...opened, ...builds.value.map(({ id }) => id)]);
  const shown = views.filter(({ id }) => needed.has(id) || atHand.has(id));
  const order = new Map(summaries.value.map(({ id }, n) => [id, n]));
  const all = [...builds.value.filter(({ id }) => !touched.has(id)), ...shown];
  builds.value = all.sort((a, b) => (order.get(a.id) ?? 0) - (order.get(b.id) ?? 0));
}

function summariesOf(touched: ReadonlySet<string>): readonly BuildSummary[] {
  return summaries.value.filter(({ id }) => touched.has(id));
}

/** Lets go of the books of finished builds that nobody looks at. */
function putAway(): void {
  const atHand = new Set(builds.value.map(({ id }) => id));
  for (const { id } of summaries.value) if (!atHand.has(id)) loaded.drop(id);
}

/** Time goes on: each second, at the very moment something rings, and smoothly while every second counts. */
function tick(db: Database): void {
  let beats = 0;
  const beat = () => {
    now.value = glance();
    clockTrouble.value = trouble();
    const wait = (coming.value ?? Number.POSITIVE_INFINITY) - now.value;
    if (wait < SECOND) beatIn(wait);
  };
  const beatIn = everySecond(() => {
    beat();
    if (++beats % KEEP_TIME_EACH === 0) keep(db, "time", keptTime()).catch(console.error);
  });
  const isUrgent = computed(() => running.value.some(({ kind }) => kind === "open" || kind === "pot"));
  effect(() => {
    if (!isUrgent.value) return;
    const timer = setInterval(beat, TICK_MS);
    return () => clearInterval(timer);
  });
}

/** What the window tells: another place, another tab in front, a network again. */
function watchWindow(recorder: Recorder): void {
  addEventListener("popstate", () => {
    route.value = routeOf(location.pathname);
  });
  addEventListener("online", () => recorder.poke());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") recorder.wake();
    else if (newVersion.value && isQuiet()) takeOver().catch(console.error);
  });
}

/** Nobody races a clock, and nothing is in memory alone. */
function isQuiet(): boolean {
  const races = running.value.some(({ kind }) => kind === "open" || kind === "pot" || kind === "wipe-off");
  return !races && ringing.value.length === 0 && syncing.value.state !== "phone full";
}

function after(ms: number, work: () => void): () => void {
  const timer = setTimeout(work, ms);
  return () => clearTimeout(timer);
}
