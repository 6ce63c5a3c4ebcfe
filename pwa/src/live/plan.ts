/** The plan as a signal: asked for when something changed, kept for when the server is away. */

import { batch, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { MINUTE_MS } from "../durations.ts";
import { type Database, keep, readKept } from "../store/database.ts";
import type { SyncView } from "../store/sender.ts";
import { ask, type Reply, TIMEOUT_MS } from "../store/server_client.ts";
import type { Pace, PresentedPlan, RefusalDetail } from "../wire.gen.ts";

/** The last plan that the server made; null when no build is open, or before the first plan. */
export const plan: Signal<PresentedPlan | null> = signal(null);

/** The shop's pace as the server last told it, which outlives its plan; null while nothing was timed. */
export const pace: Signal<Pace | null> = signal(null);

/** Why the server has no newer plan; null while it has one. */
export const planProblem: Signal<RefusalDetail | null> = signal(null);

/** Whether `plan` is what the server makes of all that this phone knows now. */
export const isOfNow: Signal<boolean> = signal(false);

/** How sync stands, and what a plan depends on. */
export type Watched = {
  readonly syncing: ReadonlySignal<Pick<SyncView, "state">>;
  readonly builds: ReadonlySignal<unknown>;
  readonly shop: ReadonlySignal<unknown>;
};

/** A plan with the server's name for it. told: the plan; null when no build was open. pace: of the last plan there was. */
type KeptPlan = { readonly etag: string; readonly told: PresentedPlan | null; readonly pace: Pace | null };

const NONE: KeptPlan = { etag: "", told: null, pace: null };

/** How long to wait after a change, so that a series of taps makes one plan. */
const SETTLE_MS = 1_000;

/** A plan begins at the moment it was made, so an unchanged bench wants another after a while too. */
const OLD_MS = 15 * MINUTE_MS;

let update: () => Promise<void> = async () => {};

/** Asks for the plan at once, such as when somebody opens it. Never rejects. */
export function updatePlan(): Promise<void> {
  return update();
}

/**
 * Shows the plan that was kept; then asks whenever builds or shop changed and all of that is with the server.
 *
 * Gives what ends it. Rejects when the phone's store cannot be read.
 */
export async function watchPlan(db: Database, device: string, watched: Watched): Promise<() => void> {
  let known = ((await readKept(db, "plan")) as KeptPlan | undefined) ?? NONE;
  let changed = true;
  let asked = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const show = () => {
    plan.value = known.told;
    pace.value = known.pace;
  };
  batch(show);
  update = async () => {
    changed = watched.syncing.value.state !== "synced"; // what waits here is not in the server's plan
    asked = performance.now();
    const reply = await askForPlan(known, device);
    planProblem.value = reply.kind === "refused" ? reply.problem : null;
    if (reply.kind !== "ok") changed = true;
    const isNew = reply.kind === "ok" && reply.value !== known;
    batch(() => {
      if (isNew) known = reply.value;
      show();
      isOfNow.value = !changed;
    });
    if (isNew) await keep(db, "plan", known).catch(console.error);
  };
  const endNoting = effect(() => {
    watched.builds.value;
    watched.shop.value;
    changed = true;
    isOfNow.value = false;
  });
  const endAsking = effect(() => {
    clearTimeout(timer); // a tap since then has not reached the server yet: its plan would lack it
    if (watched.syncing.value.state !== "synced") return;
    if (!changed && performance.now() - asked < OLD_MS) return;
    timer = setTimeout(() => void update(), SETTLE_MS);
  });
  return () => {
    endNoting();
    endAsking();
    clearTimeout(timer);
  };
}

/** The server's plan; `known` itself when it is still that one. */
function askForPlan(known: KeptPlan, device: string): Promise<Reply<KeptPlan>> {
  const read = async (response: Response): Promise<KeptPlan> => {
    if (response.status === 304) return known;
    if (response.status === 204) return known.told ? { ...NONE, pace: known.pace } : known;
    const told = (await response.json()) as PresentedPlan;
    return { etag: response.headers.get("ETag") ?? "", told, pace: told.pace ?? null };
  };
  return ask(device, "/plan", { etag: known.etag, timeoutMs: TIMEOUT_MS.plan, read });
}
