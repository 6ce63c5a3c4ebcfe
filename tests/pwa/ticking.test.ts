// @vitest-environment happy-dom
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { awakeSince } from "../../pwa/src/live/server_alarms.ts";
import { now } from "../../pwa/src/live/state.ts";
import { startTicking } from "../../pwa/src/live/ticking.ts";
import { noteServerTime, readClocks } from "../../pwa/src/phone/server_time.ts";
import { type Database, openDatabase, readKept } from "../../pwa/src/store/database.ts";

let db: Database;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  vi.useFakeTimers({ toFake: ["setInterval"] });
  db = await openDatabase("phone", () => {});
  const clocks = readClocks();
  noteServerTime({ sent: clocks, got: clocks, ms: clocks.wall - 3 * 3_600_000, base: 0 });
  startTicking(db);
});

afterEach(() => vi.useRealTimers());

const offset = async () => ((await readKept(db, "time")) as { offset: number } | undefined)?.offset;

test.each([
  ["the page is left", () => dispatchEvent(new Event("pagehide"))],
  [
    "the page goes out of sight",
    () => {
      Object.defineProperty(document, "hidden", { value: true, configurable: true });
      document.dispatchEvent(new Event("visibilitychange"));
    },
  ],
])("the server's time is kept when %s", async (_, leave) => {
  expect(await offset()).toBeUndefined();
  leave();

  await vi.waitFor(async () => expect(await offset()).toBeCloseTo(-3 * 3_600_000, -3));
});

test("a gap between two ticks says that the page was asleep", () => {
  vi.advanceTimersByTime(1000);
  const before = awakeSince.value;
  vi.advanceTimersByTime(1000);
  expect(awakeSince.value).toBe(before);

  now.value -= 60_000; // the last tick was a minute ago
  vi.advanceTimersByTime(1000);
  expect(awakeSince.value).toBe(now.value);
});
