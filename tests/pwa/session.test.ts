// @vitest-environment happy-dom
import { afterEach, expect, test } from "vitest";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { openSession, session } from "../../pwa/src/live/session.ts";
import { openDatabase, putMeta, write } from "../../pwa/src/store/database.ts";
import { closePage, lastRecorded, MINUTE, openPage, START, show, tap } from "./page.ts";

const LEGS = "/b/b/o/A%2Fcut-legs";

/** A stamp of another phone, whose clock is an hour ahead. */
const THEIRS = { ms: START + 60 * MINUTE, counter: 7, device: "b".repeat(16) };

/** What that phone recorded. */
function fromAnother(): Raw {
  const what = { kind: "finished", operation: "rough-out", reason: "" } as never;
  return { id: "0191-1", n: 1, at: THEIRS, build: "b", about: ["rough-out"], what };
}

afterEach(closePage);

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
