/** The plan as a signal: asked for when something changed, kept for when the server is away. */
import { effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Database } from "./store/database.ts";
import { askForPlan, keepPlan, readPlan } from "./store/plan.ts";
import type { SyncView } from "./store/sender.ts";
import type { PlanTold, RefusalDetail } from "./wire.gen.ts";

/** The last plan the server told; null when no build is open, or none was ever told. */
export const plan: Signal<PlanTold | null> = signal(null);

/** Why the server has no newer one; null while it has. */
export const planTrouble: Signal<RefusalDetail | null> = signal(null);

/** How sync stands, and what a plan hangs on. */
export type Watched = {
  readonly syncing: ReadonlySignal<Pick<SyncView, "state">>;
  readonly builds: ReadonlySignal<unknown>;
  readonly shop: ReadonlySignal<unknown>;
};

/** So that a flurry of taps makes one plan. */
const SETTLE_MS = 1_000;

/** A plan begins at the moment it was made, so an unchanged bench wants another after a while too. */
const OLD_MS = 15 * 60_000;

let ask: () => Promise<void> = async () => {};

/** Asks at once, such as when somebody opens the plan. */
export function lookAtPlan(): Promise<void> {
  return ask();
}

/**
 * Shows the plan that was kept; then asks whenever builds or shop changed and all of that is with the server.
 *
 * Gives what ends it.
 */
export async function watchPlan(db: Database, device: string, watched: Watched): Promise<() => void> {
  let known = await readPlan(db);
  let changed = true;
  let asked = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  plan.value = known.told;
  ask = async () => {
    changed = false;
    asked = performance.now();
    const told = await askForPlan(known, device);
    planTrouble.value = told && "what" in told ? told : null;
    if (!told || "what" in told) changed = true;
    if (!told || "what" in told || told === known) return;
    known = told;
    plan.value = told.told;
    await keepPlan(db, told).catch(console.error);
  };
  const endNoting = effect(() => {
    watched.builds.value;
    watched.shop.value;
    changed = true;
  });
  const endAsking = effect(() => {
    if (watched.syncing.value.state !== "synced") return;
    if (!changed && performance.now() - asked < OLD_MS) return;
    clearTimeout(timer);
    timer = setTimeout(() => void ask(), SETTLE_MS);
  });
  return () => {
    endNoting();
    endAsking();
    clearTimeout(timer);
  };
}
