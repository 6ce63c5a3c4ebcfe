import { effect } from "@preact/signals";
import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { beforeEach, expect, test, vi } from "vitest";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { openSession, type Session } from "../../pwa/src/live/session.ts";
import { builds, now, running, shop, summaries } from "../../pwa/src/live/state.ts";
import { serverNow, serverWhen } from "../../pwa/src/phone/server_time.ts";
import { openDatabase } from "../../pwa/src/store/database.ts";
import type { SyncBody } from "../../pwa/src/store/sync.ts";
import type { SyncAnswer } from "../../pwa/src/wire.gen.ts";
import startedText from "../vectors/stand/started.json?raw";

const HOUR = 3_600_000;
const MINUTE = 60_000;
const SERVER = "0".repeat(16);
const ASKED: SyncBody = { page: 2, log_epoch: "", after: 0, happenings: [] };

/** The phone's clock at the beginning, and the server's: three hours ahead of it. */
const PHONE = 1_795_597_200_000;
const AHEAD = PHONE + 3 * HOUR;

let base = 0;
let session: Session;

/** The server answers with this. */
async function answered(happenings: readonly Raw[], time: number, more = false): Promise<void> {
  const value = { taken_to: 0, happenings, position: happenings.length, more, log_epoch: "e", base };
  const times = { server_time: time, alarms_ran: null };
  vi.stubGlobal("fetch", async () => Response.json({ ...value, ...times } satisfies SyncAnswer));
  const reply = await session.ask(ASKED, "a".repeat(16));
  if (reply.kind !== "ok") throw new Error(JSON.stringify(reply));
  await session.fold(reply.value.happenings as readonly Raw[]);
}

function entry(id: string, ms: number, what: Raw["what"], build = "b", device = SERVER): Raw {
  return { id, n: 1, at: { ms, counter: 0, device }, build, about: [], what, when: { ms, base } };
}

beforeEach(async () => {
  vi.useFakeTimers({ toFake: ["Date"] });
  vi.setSystemTime(PHONE);
  globalThis.indexedDB = new IDBFactory();
  [builds.value, summaries.value, shop.value, base] = [[], [], { settings: {}, readings: [] }, 0];
  session = await openSession(await openDatabase("phone", () => {}), { after: () => () => {}, random: () => 0 });
});

test("the server's time counts once all that came with it is folded, and not while more is to come", async () => {
  await answered([], AHEAD, true);
  const before = serverNow();
  await answered([], AHEAD);

  expect(before).toBe(PHONE);
  expect(Math.abs(serverNow() - AHEAD)).toBeLessThan(1000);
});

test("in the answer that tells of a set server clock, times and entries go over in one moment", async () => {
  const started = JSON.parse(startedText);
  const glueOn = entry("01-b", AHEAD, { kind: "glue-on", operation: "A/glue" } as Raw["what"]);
  await answered([entry("01-a", AHEAD, started), glueOn], AHEAD);
  const seen = new Set<string>();
  const stop = effect(() => {
    for (const { kind, phase, most } of running.value)
      if (kind === "open") seen.add(`${phase}, ${Math.round(((most ?? 0) - now.value) / MINUTE)} min left`);
  });
  base = 1;
  const set = { kind: "clock-set", base: 1, since: 0, by_ms: -3 * HOUR, earlier_ms: null } as Raw["what"];
  await answered([entry("01-c", PHONE, set, "")], PHONE);
  stop();

  expect([...seen]).toEqual(["running, 8 min left"]);
  expect(Math.abs(serverNow() - PHONE)).toBeLessThan(1000);
  expect(serverWhen().base).toBe(1);
});
