import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { OwnPlan, Told, ToPlanner } from "../../pwa/src/phone/own_plan.ts";
import type { PlanQuestion } from "../../pwa/src/phone/plan_question.ts";
import { Planner } from "../../pwa/src/phone/planner.ts";
import type { Sheet } from "../../pwa/src/wire.gen.ts";
import { at, presented, step } from "./plans.ts";

const TOLD: Told = { plan: presented([step("cut", at(5, 9), at(5, 10))]), pace: null };
const NOTHING: Told = { plan: null, pace: null };
const OWN = { steps: [] } as unknown as OwnPlan;
const SHEET = { title: "Stand" } as Sheet;
const question = (...builds: string[]) => ({ builds: builds.map((id) => ({ id })) }) as unknown as PlanQuestion;
const sheetOf = () => SHEET;

/** A thread that keeps what it is told, and does as the test says. */
class Thread {
  static readonly all: Thread[] = [];
  static does: (thread: Thread) => void = (thread) => thread.onmessage?.({ data: OWN });
  readonly heard: ToPlanner[] = [];
  ended = false;
  onmessage: ((event: { data: OwnPlan | null }) => void) | null = null;
  onerror: ((event: { message: string }) => void) | null = null;
  constructor() {
    Thread.all.push(this);
  }
  postMessage(message: ToPlanner) {
    this.heard.push(message);
    queueMicrotask(() => Thread.does(this));
  }
  terminate() {
    this.ended = true;
  }
}

const answers = (thread: Thread) => thread.onmessage?.({ data: OWN });
const fails = (thread: Thread) => thread.onerror?.({ message: "broken" });

beforeEach(() => {
  Thread.all.length = 0;
  Thread.does = answers;
  vi.stubGlobal("Worker", Thread);
  vi.spyOn(console, "error").mockImplementation(() => {});
});

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
  vi.useRealTimers();
});

test("each sheet and the server's plan are sent once, the question each time", async () => {
  const planner = new Planner();
  await planner.ask(question("a"), TOLD, sheetOf);
  await planner.ask(question("a", "b"), TOLD, sheetOf);
  await planner.ask(question("a", "b"), NOTHING, sheetOf);

  const heard = Thread.all.flatMap((thread) => thread.heard);
  expect(Thread.all).toHaveLength(1);
  expect(heard.map(({ sheets }) => Object.keys(sheets))).toEqual([["a"], ["b"], []]);
  expect(heard.map(({ told }) => told)).toEqual([TOLD, undefined, NOTHING]);
});

test("after a thread failed another is told all of it again", async () => {
  const planner = new Planner();
  Thread.does = fails;
  const first = await planner.ask(question("a"), TOLD, sheetOf);
  Thread.does = answers;
  const second = await planner.ask(question("a"), TOLD, sheetOf);

  expect([first, second]).toEqual([null, OWN]);
  expect(Thread.all.map(({ ended, heard }) => [ended, Object.keys(heard[0]?.sheets ?? {}), heard[0]?.told])).toEqual([
    [true, ["a"], TOLD],
    [false, ["a"], TOLD],
  ]);
});

test("a thread that takes too long is ended, and there is no plan", async () => {
  vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
  Thread.does = () => {};
  const asked = new Planner().ask(question("a"), TOLD, sheetOf);
  await vi.advanceTimersByTimeAsync(10_000);

  expect(await asked).toBeNull();
  expect(Thread.all[0]?.ended).toBe(true);
});

test("when it failed three times in a row no more is asked of this phone", async () => {
  const planner = new Planner();
  Thread.does = fails;
  for (let n = 0; n < 5; n++) await planner.ask(question("a"), TOLD, sheetOf);

  expect(Thread.all).toHaveLength(3);
});

test("a phone without threads has no plan of its own", async () => {
  vi.stubGlobal("Worker", undefined);
  Reflect.deleteProperty(globalThis, "Worker");

  expect(await new Planner().ask(question("a"), TOLD, sheetOf)).toBeNull();
});
