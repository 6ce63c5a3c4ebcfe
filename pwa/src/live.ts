/** Signals: the one place that holds state on the phone. All moments are server time in whole ms. */
import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { type Clock, clocks, type Ring, ringing as ringingOf } from "./bench/clocks.ts";
import { type Advice, adviceFor } from "./bench/next.ts";
import type { Raw } from "./bench/read.ts";
import { type BuildSummary, type BuildView, bearerOf, byAge, SHOP, Shelf, summaryOf } from "./bench/shelf.ts";
import type { ShopState } from "./bench/shop.ts";
import { type Route, routeOf } from "./route.ts";
import { newDevice, newId, stampAfter } from "./store/stamp.ts";
import type { Finding, Happening, Stamp } from "./wire.gen.ts";

export type { Advice, BuildSummary, BuildView, Route };
export type What = NonNullable<Happening["what"]>;
export type RunningClock = Clock & { readonly build: string };
export type RingingNow = Ring & { readonly build: string };
export type ShopView = ShopState;
export type SyncView = {
  readonly waiting: number;
  readonly since: number | null;
  readonly state:
    | "synced"
    | "sending"
    | "away"
    | "refused"
    | "unpaired"
    | "page too old"
    | "server too old"
    | "phone full";
  readonly sentence: string;
};

export const builds: Signal<readonly BuildView[]> = signal([]);
export const summaries: Signal<readonly BuildSummary[]> = signal([]);
export const shop: Signal<ShopView> = signal({ settings: {}, readings: [] });
export const now: Signal<number> = signal(Date.now());
export const syncing: Signal<SyncView> = signal({ waiting: 0, since: null, state: "synced", sentence: "" });
export const clockTrouble: Signal<string | null> = signal(null);
export const units: Signal<"mm" | "in"> = signal("mm");
export const route: Signal<Route> = signal(routeOf(globalThis.location?.pathname ?? "/"));

/** Over all builds that are at hand, soonest moment first. */
export const running: ReadonlySignal<readonly RunningClock[]> = computed(() =>
  builds.value.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, shop.value.readings, now.value).map((clock) => ({ ...clock, build: id })),
  ),
);

export const ringing: ReadonlySignal<readonly RingingNow[]> = computed(() =>
  builds.value.flatMap(({ id, bench }) => {
    const own = running.value.filter(({ build }) => build === id);
    return ringingOf(bench, own, now.value).map((ring) => ({ ...ring, build: id }));
  }),
);

export const advice: ReadonlySignal<Advice> = computed(() => adviceFor(builds.value, running.value, now.value, null));

const shelf = new Shelf();
const device = newDevice((bytes) => crypto.getRandomValues(bytes));
let last: Stamp | null = null;

/** Loads a finished build's book too. */
export async function openBuild(id: string): Promise<BuildView | null> {
  return shelf.view(id);
}

/** Whose label that is. */
export function findCode(code: string): { build: BuildView; id: string; old: boolean } | null {
  return bearerOf(builds.value, code);
}

/** Folds at once. Throws never: trouble shows in `syncing`. */
export async function record(build: string, what: What, about: readonly string[]): Promise<void> {
  last = stampAfter(last, Date.now(), device);
  const id = newId(last.ms, (bytes) => crypto.getRandomValues(bytes));
  show(shelf.add([{ id, n: 0, at: last, build, about, what } as Raw]));
}

/** What was recorded by mistake no longer counts. */
export function undo(build: string, happening: string): Promise<void> {
  return record(build, { kind: "undone", happening }, shelf.find(build, happening)?.about ?? []);
}

export async function startBuild(
  _recipe: string,
  _pieces: number,
  _name: string,
): Promise<
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly what: string; readonly next_step: string; readonly findings?: readonly Finding[] }
> {
  return { ok: false, what: "The server is away.", next_step: "Start it once the server answers." };
}

/** Opens what the phone keeps, starts sync, and ticks. */
export async function start(): Promise<void> {
  addEventListener("popstate", () => {
    route.value = routeOf(location.pathname);
  });
  setInterval(() => {
    now.value = Date.now();
  }, 1000);
}

/** To another place in the page. */
export function go(path: string): void {
  if (path !== location.pathname) history.pushState(null, "", path);
  route.value = routeOf(path);
}

function show(touched: ReadonlySet<string>): void {
  if (touched.has(SHOP)) shop.value = shelf.shop();
  const views = [...touched].flatMap((build) => shelf.view(build) ?? []);
  const others = builds.value.filter(({ id }) => !touched.has(id));
  const told = [...summaries.value.filter(({ id }) => !touched.has(id)), ...views.map(summaryOf)].sort(byAge);
  const order = new Map(told.map(({ id }, n) => [id, n]));
  summaries.value = told;
  builds.value = [...others, ...views].sort((a, b) => (order.get(a.id) ?? 0) - (order.get(b.id) ?? 0));
}
