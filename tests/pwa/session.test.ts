// @vitest-environment happy-dom
import { afterEach, expect, test, vi } from "vitest";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { openSession, session } from "../../pwa/src/live/session.ts";
import { syncedAt } from "../../pwa/src/live/state.ts";
import { resumeFrom, serverNow } from "../../pwa/src/phone/server_time.ts";
import { openDatabase, putMeta, write } from "../../pwa/src/store/database.ts";
import type { SyncView } from "../../pwa/src/store/sender.ts";
import { closePage, codes, lastRecorded, MINUTE, openPage, START, show, started, tap } from "./page.ts";

const LEGS = "/b/b/o/A%2Fcut-legs";

/** A stamp of another phone, whose clock is an hour ahead. */
const THEIRS = { ms: START + 60 * MINUTE, counter: 7, device: "b".repeat(16) };

/** What that phone recorded. */
function fromAnother(): Raw {
  const what = { kind: "finished", operation: "rough-out", reason: "" } as never;
  return { id: "0191-1", n: 1, at: THEIRS, build: "b", about: ["rough-out"], what };
}

const NOTHING_SENT = { page: 2, log_epoch: "", after: 0, happenings: [] };
const SYNCED: SyncView = { waiting: 0, since: null, state: "synced", sentence: "" };

/** The server answers at this moment of its own, with nothing new. */
function serverAnswersAt(server_time: number): void {
  const answer = { taken_to: 0, happenings: [], position: 0, server_time, base: 0, more: false, log_epoch: "one" };
  vi.stubGlobal("fetch", async () => new Response(JSON.stringify(answer)));
}

afterEach(async () => {
  resumeFrom({ offset: 0, wall: Date.now(), seen: 0 });
  syncedAt.value = 0;
  await closePage();
});

test("what is recorded after another phone's entry was seen stands after it, though its clock was ahead", async () => {
  await openPage([], 2);
  await session()?.fold([fromAnother()]);
  await show(LEGS);
  await tap("Begin");

  expect(lastRecorded("began").at).toEqual({ ...THEIRS, counter: 8, device: session()?.device });
});

test("so it does when the page was closed in between", async () => {
  await openPage([], 2);
  const db = await openDatabase("phone", () => {});
  await write(db, "strict", (tx) => putMeta(tx, { stamp: THEIRS }));
  const opened = await openSession(db, { after: () => () => {}, random: () => 0 });

  expect(opened.nextStamp()).toEqual({ ...THEIRS, counter: 8, device: opened.device });
});

test("an answer sets this phone's idea of the server's time", async () => {
  await openPage([], 2);
  serverAnswersAt(START + 60 * MINUTE);
  const reply = await session()?.ask(NOTHING_SENT, "a1");
  if (reply?.kind !== "ok") throw new Error("the server did not answer");
  await session()?.fold(reply.value.happenings as readonly Raw[]);

  expect(serverNow()).toBe(START + 60 * MINUTE);
});

test("once all is synced the page knows all up to the moment of the last answer, and before that it does not", async () => {
  await openPage([], 2);
  serverAnswersAt(START + 60 * MINUTE);
  await session()?.ask(NOTHING_SENT, "a1");
  session()?.tell({ ...SYNCED, state: "away" });

  expect(syncedAt.value).toBe(0);

  session()?.tell(SYNCED);

  expect(syncedAt.value).toBe(START + 60 * MINUTE);
});

test("once all is synced the books of builds that are over are put away, and those at hand stay", async () => {
  await openPage([], 2);
  const of = (n: number, what: object): Raw => ({
    ...fromAnother(),
    id: `0192-${n}`,
    build: "over",
    what: what as never,
  });
  await session()?.fold([of(1, { ...started, codes }), of(2, { kind: "closed", closed: true, reason: "no time" })]);
  const before = ["b", "over"].map((build) => session()?.has(build));
  session()?.tell(SYNCED);

  expect(before).toEqual([true, true]);
  expect(["b", "over"].map((build) => session()?.has(build))).toEqual([true, false]);
});
