// @vitest-environment happy-dom
import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { render } from "preact";
import { act } from "preact/test-utils";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { loss, missWhatWasKept } from "../../pwa/src/live/keeping.ts";
import { openSession, session } from "../../pwa/src/live/session.ts";
import { hadBefore, syncing } from "../../pwa/src/live/state.ts";
import { SyncLine } from "../../pwa/src/screens/sync_line.tsx";
import { openDatabase } from "../../pwa/src/store/database.ts";

const WORLD = { after: () => () => {}, random: () => 0 };

/** Silence: no other tab is open. */
class NoOtherTab extends EventTarget {
  postMessage(): void {}
  close(): void {}
}

beforeEach(() => {
  vi.stubGlobal("BroadcastChannel", NoOtherTab);
  throwAway();
  localStorage.clear();
});

afterEach(async () => {
  await act(() => render(null, document.body));
  [loss.value, hadBefore.value] = ["", false];
  vi.unstubAllGlobals();
});

/** The browser throws the store away while no page is open; what stands beside it stays. */
function throwAway(): void {
  globalThis.indexedDB = new IDBFactory();
}

/** Opens the page as app.tsx does. */
async function open(): Promise<void> {
  const db = await openDatabase("phone", () => {});
  const mark = await missWhatWasKept(db);
  await openSession(db, WORLD);
  mark();
}

/** So many things wait, as the page shows it. */
function waits(waiting: number): void {
  syncing.value = { waiting, since: null, state: "away", sentence: "" };
}

/** The server answers; it has had so many entries of this device. */
async function answers(taken_to: number): Promise<void> {
  const answer = { taken_to, happenings: [], position: 0, server_time: 0, base: 0, more: false, log_epoch: "one" };
  vi.stubGlobal("fetch", async () => new Response(JSON.stringify(answer)));
  await session()?.ask({ page: 2, log_epoch: "", after: 0, happenings: [] }, "a1");
}

test("what waited in a store that was thrown away while the page was closed is missed, and how much it was", async () => {
  await open();
  waits(3);
  throwAway();
  await open();
  await act(() => render(<SyncLine />, document.body));

  expect(document.body.textContent).toContain("What was not sent yet is lost: 3 things. Record it again.");
  document.querySelector<HTMLButtonElement>(".told button")?.click();
  expect(loss.value).toBe("");
});

test("where nothing waited nothing is said", async () => {
  await open();
  waits(3);
  waits(0);
  throwAway();
  await open();
  await answers(12);

  expect(loss.value).toBe("");
});

test("a store that is there is not missed", async () => {
  await open();
  waits(3);
  await open();

  expect(loss.value).toBe("");
});

test("where the mark is gone too, the server's word tells that there was a store", async () => {
  await open();
  localStorage.clear();
  throwAway();
  await open();
  expect(loss.value).toBe("");
  await answers(12);

  expect(loss.value).toContain("If anything was not sent yet, it is lost");
});

test("a phone that is new to the server has lost nothing", async () => {
  await open();
  await answers(0);
  await answers(2);

  expect(loss.value).toBe("");
});

test("a browser that keeps no mark, or a spoilt one, is no fault", async () => {
  vi.stubGlobal("localStorage", {
    getItem: () => '{"things":"many"}',
    setItem: () => {
      throw new DOMException("no", "QuotaExceededError");
    },
  });
  await open();

  expect(loss.value).toBe("");
  vi.unstubAllGlobals();
});
