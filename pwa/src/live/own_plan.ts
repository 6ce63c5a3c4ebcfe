/**
 * The phone's own plan: made while the server's is not of how things stand, such as while the server is away.
 *
 * It goes on from the last plan of the server, never from itself, as the server will: so both come to the same.
 */
import { computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { BuildView } from "../bench/loaded_builds.ts";
import { MINUTE_MS } from "../durations.ts";
import type { OwnPlan } from "../phone/own_plan.ts";
import { planQuestion } from "../phone/plan_question.ts";
import type { Planner } from "../phone/planner.ts";
import { type Database, keep, readKept } from "../store/database.ts";
import type { PresentedPlan, ShopState } from "../wire.gen.ts";
import { isOfNow, pace, plan } from "./plan.ts";

/** The phone's own plan; null while the server's counts, or where none could be made. */
export const ownPlan: Signal<OwnPlan | null> = signal(null);

/** The plan that counts: the phone's own order and times, where it has them, with what else the server said. */
export const standingPlan: ReadonlySignal<PresentedPlan | null> = computed(() =>
  ownPlan.value ? { ...(plan.value ?? NOTHING_TOLD), too_late: [], ...ownPlan.value } : plan.value,
);

const NOTHING_TOLD: Pick<PresentedPlan, "evening" | "forecasts" | "unplanned" | "bound"> = {
  evening: [],
  forecasts: [],
  unplanned: [],
  bound: 0,
};

/** What the plan depends on. next: when a clock next wants something. now: server time. */
export type Watched = {
  readonly builds: ReadonlySignal<readonly BuildView[]>;
  readonly shop: ReadonlySignal<ShopState>;
  readonly next: ReadonlySignal<number | null>;
  readonly now: ReadonlySignal<number>;
};

/** How long to wait after a change: a series of taps makes one plan, and what a tap shows is drawn first. */
const SETTLE_MS = 300;

/** The same as the page starts: by then the server has answered, if it is there. */
const START_MS = 2_000;

/** With nothing done, the plan is made again so often: what it begins now has not begun. */
const AGAIN_MS = 5 * MINUTE_MS;

/** So old, the server would not hold on to its plan either. */
const OLD_MS = 10 * MINUTE_MS;

/** What the phone keeps of its own plan. of: when the server's plan was made from which it goes on. */
type Kept = { readonly of: number | null; readonly own: OwnPlan | null };

/**
 * Shows the own plan that was kept; then makes another whenever builds, the shop or a clock change, and from time to
 * time, while the server's plan is not of that. Gives what ends it. Rejects when the phone's store cannot be read.
 */
export async function watchOwnPlan(db: Database, planner: Planner, watched: Watched): Promise<() => void> {
  const kept = (await readKept(db, "own plan")) as Kept | undefined;
  if (kept && kept.of === madeAt() && !isOfNow.value) ownPlan.value = kept.own;
  const slot = computed(() => Math.floor(watched.now.value / AGAIN_MS));
  let timer: ReturnType<typeof setTimeout> | undefined;
  let settle = START_MS;
  let busy = false;
  let again = false;

  const show = (own: OwnPlan | null) => {
    if (own === ownPlan.value) return;
    ownPlan.value = own;
    void keep(db, "own plan", { of: madeAt(), own } satisfies Kept).catch(console.error);
  };
  const replan = async () => {
    again = busy;
    if (busy) return;
    busy = true;
    const told = plan.value;
    const builds = watched.builds.value;
    const question = planQuestion(builds, watched.shop.value, watched.now.value);
    const sheetOf = (id: string) => builds.find((build) => build.id === id)?.sheet;
    const own = question.builds.length ? await planner.ask(question, { plan: told, pace: pace.value }, sheetOf) : null;
    busy = false;
    if (again) void replan();
    else show(counts(watched.now.value) || plan.value !== told ? null : own);
  };
  const end = effect(() => {
    watched.builds.value;
    watched.shop.value;
    watched.next.value;
    slot.value;
    isOfNow.value;
    clearTimeout(timer);
    if (counts(watched.now.peek())) show(null);
    else timer = setTimeout(() => void replan(), settle);
    settle = SETTLE_MS;
  });
  return () => {
    end();
    clearTimeout(timer);
    planner.end();
  };
}

/** Whether the server's plan is of how things stand, at `now` in ms. */
function counts(now: number): boolean {
  const made = madeAt();
  return isOfNow.value && (made === null || now - made < OLD_MS);
}

function madeAt(): number | null {
  return plan.value?.made_at ?? null;
}
