import { signal } from "@preact/signals";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { pace, plan, planProblem, updatePlan, watchPlan } from "../../pwa/src/live/plan.ts";
import type { SyncState } from "../../pwa/src/store/sender.ts";
import { UNTIMED } from "../../pwa/src/tables.gen.ts";
import type { Pace } from "../../pwa/src/wire.gen.ts";
import { Phone } from "./phone.ts";
import { at, presented, step } from "./plans.ts";
import { AWAY } from "./server.ts";

const PLAN = presented([step("cut", at(5, 9), at(5, 10))]);
const PACE: Pace = { ...UNTIMED, timed: 7 };
const QUARTER_MS = 15 * 60_000;

/** What the server answers next, and what it was asked. */
let answers: () => Response;
let asked: Headers[] = [];
let end = () => {};

const planned = () => new Response(JSON.stringify(PLAN), { headers: { ETag: '"one"' } });

beforeEach(() => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout", "performance"] });
  asked = [];
  answers = planned;
  vi.stubGlobal("fetch", async (_path: string, { headers }: RequestInit) => {
    asked.push(new Headers(headers));
    return answers();
  });
});

afterEach(() => {
  end();
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

async function watched(phone: Phone) {
  const signals = { syncing: signal<{ state: SyncState }>({ state: "synced" }), builds: signal(0), shop: signal(0) };
  end = await watchPlan(phone.db, phone.device, signals);
  return signals;
}

const fresh = () => Phone.fresh(() => AWAY);
const settle = () => vi.advanceTimersByTimeAsync(1_000);

test("it is asked for as the page starts, once however often sync says that all is well", async () => {
  const { syncing } = await watched(await fresh());
  syncing.value = { state: "synced" };
  await settle();
  syncing.value = { state: "synced" };
  await settle();

  expect(asked).toHaveLength(1);
  expect(plan.value).toEqual(PLAN);
});

test("a flurry of taps makes one plan, asked for once all of it is with the server", async () => {
  const { syncing, builds } = await watched(await fresh());
  await settle();
  syncing.value = { state: "sending" };
  for (let tap = 1; tap <= 5; tap++) builds.value = tap;
  await settle();
  const whileSending = asked.length;
  syncing.value = { state: "synced" };
  await settle();

  expect([whileSending, asked.length]).toEqual([1, 2]);
});

test("a tap while a plan is about to be asked for puts it off until the tap is with the server", async () => {
  const { syncing, builds } = await watched(await fresh());
  await vi.advanceTimersByTimeAsync(900);
  builds.value = 1;
  syncing.value = { state: "sending" };
  await settle();
  const whileSending = asked.length;
  syncing.value = { state: "synced" };
  await settle();

  expect([whileSending, asked.length]).toEqual([0, 1]);
});

test("a plan that is still the same is not sent again", async () => {
  const { syncing, shop } = await watched(await fresh());
  await settle();
  answers = () => new Response(null, { status: 304 });
  shop.value = 1;
  syncing.value = { state: "synced" };
  await settle();

  expect(asked.map((headers) => headers.get("If-None-Match"))).toEqual([null, '"one"']);
  expect(plan.value).toEqual(PLAN);
});

test("with the server away the last plan stays, and it is asked for again when the server is back", async () => {
  const { syncing, builds } = await watched(await fresh());
  await settle();
  answers = () => Response.error();
  builds.value = 1;
  syncing.value = { state: "synced" };
  await settle();
  const meanwhile = plan.value;
  answers = () => new Response(JSON.stringify({ ...PLAN, changes: 3 }));
  syncing.value = { state: "synced" };
  await settle();

  expect(meanwhile).toEqual(PLAN);
  expect(plan.value?.changes).toBe(3);
});

test("the last plan is there again when the page is opened without a network", async () => {
  const phone = await fresh();
  await watched(phone);
  await settle();
  end();
  plan.value = null;
  answers = () => {
    throw new TypeError("no network");
  };
  await watched(phone);
  const opened = plan.value;
  await settle();

  expect([opened, plan.value]).toEqual([PLAN, PLAN]);
});

test("when no build is open there is no plan, nor after the next start", async () => {
  const phone = await fresh();
  await watched(phone);
  await settle();
  answers = () => new Response(null, { status: 204 });
  await updatePlan();
  const now = plan.value;
  end();
  await watched(phone);

  expect([now, plan.value]).toEqual([null, null]);
});

test("the shop's pace outlives the plan it was told with, and the page", async () => {
  const phone = await fresh();
  await watched(phone);
  answers = () => new Response(JSON.stringify({ ...PLAN, pace: PACE }), { headers: { ETag: '"paced"' } });
  await updatePlan();
  answers = () => new Response(null, { status: 204 });
  await updatePlan();
  await updatePlan();
  const without = pace.value;
  end();
  pace.value = null;
  await watched(phone);

  expect([without, pace.value, plan.value]).toEqual([PACE, PACE, null]);
});

test("a plan of a shop where nothing was timed has no pace", async () => {
  pace.value = PACE;
  await watched(await fresh());
  await updatePlan();

  expect(pace.value).toBeNull();
});

test("why the server cannot plan is told until it can", async () => {
  const error = { kind: "internal", what: "It failed.", next_step: "Look into its log." };
  await watched(await fresh());
  answers = () => new Response(JSON.stringify({ error }), { status: 500 });
  await updatePlan();
  const meanwhile = planProblem.value;
  answers = planned;
  await updatePlan();

  expect([meanwhile, planProblem.value]).toEqual([error, null]);
});

test("something else that answers at the address is no plan", async () => {
  await watched(await fresh());
  await settle();
  answers = () => new Response("<!doctype html>", { headers: { "Content-Type": "text/html" } });
  await updatePlan();

  expect(plan.value).toEqual(PLAN);
});

test("an unchanged bench is planned anew after a quarter of an hour", async () => {
  const { syncing } = await watched(await fresh());
  await settle();
  await vi.advanceTimersByTimeAsync(QUARTER_MS);
  syncing.value = { state: "synced" };
  await settle();

  expect(asked).toHaveLength(2);
});
