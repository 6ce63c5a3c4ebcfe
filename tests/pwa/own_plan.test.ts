import { signal } from "@preact/signals";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { BuildView } from "../../pwa/src/bench/loaded_builds.ts";
import { benchOf } from "../../pwa/src/bench/state.ts";
import { ownPlan, standingPlan, watchOwnPlan } from "../../pwa/src/live/own_plan.ts";
import { isOfNow, plan } from "../../pwa/src/live/plan.ts";
import { type OwnPlan, ownPlan as planned, type Told } from "../../pwa/src/phone/own_plan.ts";
import type { PlanQuestion } from "../../pwa/src/phone/plan_question.ts";
import type { Planner } from "../../pwa/src/phone/planner.ts";
import type { Bench, Sheet, ShopState } from "../../pwa/src/wire.gen.ts";
import { type Brief, bookOf } from "../briefs.ts";
import { Phone } from "./phone.ts";
import { at, presented, step } from "./plans.ts";
import { AWAY } from "./server.ts";

const NOW = at(5, 9);
const TOLD = presented([step("B/cut-rail", at(5, 9), at(5, 10))]);
const own = (made_at: number): OwnPlan => ({ ...TOLD, made_at, steps: [] });
const SHOP: ShopState = { settings: {}, readings: [] };

/** A build of the stand, with what was done to it. */
function view(...done: string[]): BuildView {
  const finished = done.map((operation, n): Brief => [`f${n}`, n + 1, "a", { kind: "finished", operation } as never]);
  const book = bookOf("stand", finished);
  const sheet = book.started()?.sheet as Sheet;
  return { id: "b", name: "Stand", sheet, codes: {}, book, bench: benchOf(book) as Bench };
}

type Asked = { readonly question: PlanQuestion; readonly told: Told };
let asked: Asked[] = [];
let answer: () => OwnPlan | null;
let end = () => {};

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  asked = [];
  answer = () => own(NOW);
  plan.value = TOLD;
  isOfNow.value = false;
  ownPlan.value = null;
});

afterEach(() => {
  end();
  vi.useRealTimers();
});

async function watched(phone: Phone, builds: readonly BuildView[] = [view()]) {
  const signals = { builds: signal(builds), shop: signal(SHOP), next: signal<number | null>(null), now: signal(NOW) };
  const planner = {
    ask: async (question: PlanQuestion, told: Told) => {
      asked.push({ question, told });
      return answer();
    },
    end: () => {},
  };
  end = await watchOwnPlan(phone.db, planner as unknown as Planner, signals);
  return signals;
}

const fresh = () => Phone.fresh(() => AWAY);
const settle = (ms = 300) => vi.advanceTimersByTimeAsync(ms);

test("while the server's plan is not of this bench the phone makes its own, two seconds after the start", async () => {
  await watched(await fresh());
  await settle(1_900);
  const early = asked.length;
  await settle(200);

  expect([early, asked.length]).toEqual([0, 1]);
  expect(ownPlan.value).toEqual(own(NOW));
});

test("it always goes on from the server's plan, not from its own, and shows what else that said", async () => {
  const { builds } = await watched(await fresh());
  await settle(2_000);
  builds.value = [view("rough-out")];
  await settle();

  expect(asked.map(({ told }) => told.plan)).toEqual([TOLD, TOLD]);
  expect(standingPlan.value).toMatchObject({ forecasts: TOLD.forecasts, steps: [] });
});

test("a series of taps makes one plan", async () => {
  const { builds } = await watched(await fresh());
  await settle(2_000);
  for (const done of ["rough-out", "B/cut-rail", "A/cut-rail"]) {
    builds.value = [view(done)];
    await settle(200);
  }
  await settle();

  expect(asked).toHaveLength(2);
});

test("while the server's plan is of this bench there is none of the phone's", async () => {
  await watched(await fresh());
  await settle(2_000);
  plan.value = { ...TOLD, made_at: NOW };
  isOfNow.value = true;
  await settle(2_000);

  expect(asked).toHaveLength(1);
  expect(ownPlan.value).toBeNull();
});

test("a plan of the server that came meanwhile counts", async () => {
  answer = () => {
    isOfNow.value = true;
    return own(NOW);
  };
  await watched(await fresh());
  await settle(2_000);

  expect(ownPlan.value).toBeNull();
});

test("with nothing done it is made again every five minutes, and when a clock is due", async () => {
  const { now, next } = await watched(await fresh());
  await settle(2_000);
  now.value = NOW + 4 * 60_000;
  await settle();
  const within = asked.length;
  now.value = NOW + 5 * 60_000;
  await settle();
  next.value = NOW + 20 * 60_000;
  await settle();

  expect([within, asked.length]).toEqual([1, 3]);
});

test("a server's plan of ten minutes ago is of another time", async () => {
  isOfNow.value = true;
  const { now } = await watched(await fresh());
  await settle(2_000);
  now.value = NOW + 10 * 60_000;
  await settle();

  expect(asked).toHaveLength(1);
});

test("with no build open there is nothing to plan", async () => {
  await watched(await fresh(), []);
  await settle(2_000);

  expect([asked.length, ownPlan.value]).toEqual([0, null]);
});

test("when none comes, the last plan of the server ranks", async () => {
  const { builds } = await watched(await fresh());
  await settle(2_000);
  answer = () => null;
  builds.value = [view("rough-out")];
  await settle();

  expect(standingPlan.value).toEqual(TOLD);
});

test("it is there again at the next start, unless the server has made another since", async () => {
  const phone = await fresh();
  await watched(phone);
  await settle(2_000);
  end();
  ownPlan.value = null;
  await watched(phone);
  const again = ownPlan.value;
  end();
  ownPlan.value = null;
  plan.value = { ...TOLD, made_at: NOW + 1 };
  await watched(phone);

  expect([again, ownPlan.value]).toEqual([own(NOW), null]);
});

test("it plans what is left, from now on, in an order that can be worked", async () => {
  const stand = view("rough-out");
  await watched(await fresh(), [stand]);
  await settle(2_000);
  const question = structuredClone(asked[0]?.question) as PlanQuestion;
  const made = planned(question, new Map([["b", stand.sheet]]), { plan: null, pace: null });
  const worked = made.steps.filter(({ act }) => act === "work").map(({ operation }) => operation);

  const left = stand.sheet.operations.map(({ id }) => id).filter((id) => id !== "rough-out");
  expect([...worked].sort()).toEqual([...left].sort());
  expect(made.steps.every(({ setup_at, start, end }) => NOW <= setup_at && setup_at <= start && start <= end)).toBe(
    true,
  );
  for (const { id, after } of stand.sheet.operations)
    for (const before of after.filter((one) => left.includes(one)))
      expect(worked.indexOf(before)).toBeLessThan(worked.indexOf(id));
});
