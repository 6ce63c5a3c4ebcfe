import { beforeEach, expect, test } from "vitest";
import "fake-indexeddb/auto";
import { readFileSync } from "node:fs";
import { IDBFactory } from "fake-indexeddb";
import { openDB } from "idb";
import { type BuildSummary, LoadedBuilds, summaryOf } from "../../pwa/src/bench/loaded_builds.ts";
import type { Raw } from "../../pwa/src/bench/read.ts";
import {
  becomeDevice,
  type Database,
  openDatabase,
  readBuild,
  readMeta,
  readOpen,
  write,
} from "../../pwa/src/store/database.ts";
import { keepRecorded, readWaiting } from "../../pwa/src/store/outbox.ts";
import { newId } from "../../pwa/src/store/stamp.ts";

const NOW = 1_800_000_000_000;
const DAY = 24 * 3_600_000;
let db: Database;
let count = 0;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  db = await openDatabase("phone", () => {});
});

function raw(what: Raw["what"], build: string, ms = NOW): Raw {
  const id = newId(ms, (bytes) => bytes.fill(++count % 256));
  return { id, n: 0, at: { ms, counter: 0, device: "00000000000000a0" }, build, about: [], what };
}

const started = (): Raw["what"] =>
  JSON.parse(readFileSync(new URL("../vectors/stand/started.json", import.meta.url), "utf-8"));

/** A build of two things recorded, and its summary, perhaps changed. */
async function keepBuild(id: string, changed: Partial<BuildSummary> = {}): Promise<readonly Raw[]> {
  const raws = [raw(started(), id), raw({ kind: "finished", operation: "rough-out" } as never, id, NOW + 1)];
  const loaded = new LoadedBuilds();
  loaded.add(raws);
  const view = loaded.view(id);
  const summary = view ? [{ ...summaryOf(view), ...changed }] : [];
  return keepRecorded(db, raws, summary);
}

test("opening reads the happenings of open builds alone", async () => {
  const open = await keepBuild("open");
  await keepBuild("done", { finished: true });
  await keepBuild("away", { closed: true, runs: false });
  const found = await readOpen(db, NOW);

  expect(found.raws).toEqual(open);
  expect(found.summaries.map(({ id }) => id).sort()).toEqual(["away", "done", "open"]);
});

test("and of others whose clocks run on: oily rags, a coat that cures", async () => {
  const coat = raw({ kind: "coat-on", operation: "A/oil-1" } as never, "away", NOW + 1);
  const put = raw({ kind: "closed", closed: true } as never, "away", NOW + 2);
  const safe = raw({ kind: "rags-safe", operation: "A/oil-1" } as never, "away", NOW + 3);
  const loaded = new LoadedBuilds();
  const summary = (raws: readonly Raw[]) => {
    loaded.add(raws);
    const view = loaded.view("away");
    return view ? summaryOf(view) : null;
  };

  expect(summary([raw(started(), "away"), put])?.runs).toBe(false);
  expect(summary([coat])).toMatchObject({ closed: true, runs: true });

  const raws = await keepBuild("rags", { closed: true, runs: true });

  expect((await readOpen(db, NOW)).raws).toEqual(raws);
  expect(summary([safe])?.runs).toBe(false);
});

test("and of builds with something that only a newer page can read", async () => {
  const raws = await keepBuild("newer", { finished: true, unknown: 1 });

  expect((await readOpen(db, NOW)).raws).toEqual(raws);
});

test("a finished build's book is there when somebody asks", async () => {
  const raws = await keepBuild("done", { finished: true });

  expect(await readBuild(db, "done")).toEqual(raws);
});

test("of the air the last two months are read, and the reading before them", async () => {
  const older = raw({ kind: "conditions", celsius: 4 } as never, "", NOW - 62 * DAY);
  const old = raw({ kind: "conditions", celsius: 5 } as never, "", NOW - 61 * DAY);
  const recent = raw({ kind: "conditions", celsius: 20 } as never, "", NOW - DAY);
  const setting = raw({ kind: "kept", setting: "units", value: "in" } as never, "", NOW - 900 * DAY);
  await keepRecorded(db, [older, old, recent, setting], []);

  expect((await readOpen(db, NOW)).raws.map(({ id }) => id).sort()).toEqual([setting.id, old.id, recent.id].sort());
});

test("a summary says what a list needs", async () => {
  await keepBuild("stand");
  const [summary] = (await readOpen(db, NOW)).summaries;

  expect(summary).toEqual({
    id: "stand",
    name: "Two stands",
    title: "Plant stand",
    pieces: 2,
    done: 1,
    operations: 13,
    finished: false,
    closed: false,
    runs: false,
    started_ms: NOW,
    unknown: 0,
    labels: ["CODE0000", "CODE0001", "CODE0002", "CODE0003", "CODE0004", "CODE0005", "CODE0006", "CODE0007"],
  });
});

test("a phone has one name for ever", async () => {
  const { device } = await readMeta(db, (bytes) => bytes.fill(1));

  expect(device).toBe("01".repeat(8));
  expect((await readMeta(db, (bytes) => bytes.fill(2))).device).toBe(device);
});

test("a phone that is paired goes by the server's name from then on, and keeps all else", async () => {
  await keepBuild("open");
  await becomeDevice("00000000000000b7", "phone");
  const meta = await readMeta(db, (bytes) => bytes.fill(1));

  expect([meta.device, meta.n]).toEqual(["00000000000000b7", 2]);
  expect(await db.count("outbox")).toBe(2);
});

test("two tabs number on from each other", async () => {
  const other = await openDatabase("phone", () => {});
  await Promise.all([
    keepRecorded(db, [raw({ kind: "noted", text: "a" } as never, "b")], []),
    keepRecorded(other, [raw({ kind: "noted", text: "b" } as never, "b")], []),
    keepRecorded(db, [raw({ kind: "noted", text: "c" } as never, "b")], []),
  ]);

  expect((await db.getAll("outbox")).map(({ n }) => n)).toEqual([1, 2, 3]);
});

test("what cannot be written leaves nothing behind and spends no number", async () => {
  const bad = { ...raw({ kind: "noted", text: "a" } as never, "b"), what: { kind: "noted", text: () => {} } } as never;

  await expect(keepRecorded(db, [raw({ kind: "noted", text: "a" } as never, "b"), bad], [])).rejects.toThrow();
  expect(await db.count("happenings")).toBe(0);
  expect((await readMeta(db, (bytes) => bytes)).n).toBe(0);
});

test("a transaction that fails halfway is taken back whole", async () => {
  const failing = write(db, "strict", async (tx) => {
    await tx.objectStore("outbox").put(raw({ kind: "noted", text: "a" } as never, "b"), 1);
    throw new Error("halfway");
  });

  await expect(failing).rejects.toThrow("halfway");
  expect(await db.count("outbox")).toBe(0);
});

test("what waits is counted, with the moment of the first", async () => {
  expect(await readWaiting(db)).toEqual({ waiting: 0, since: null });

  await keepBuild("open");

  expect(await readWaiting(db)).toEqual({ waiting: 2, since: NOW });
});

test("a phone from before the log's epoch had that name keeps it", async () => {
  globalThis.indexedDB = new IDBFactory();
  const old = await openDB("phone", 2, {
    upgrade(was) {
      for (const shelf of ["happenings", "outbox", "builds", "meta", "photos", "pictures"])
        was.createObjectStore(shelf);
    },
  });
  await old.put("meta", "00000000000000a1", "device");
  await old.put("meta", "0123456789abcdef", "book");
  await old.put("meta", 7, "after");
  old.close();
  db = await openDatabase("phone", () => {});
  const { log_epoch, after } = await readMeta(db, (bytes) => bytes);

  expect([log_epoch, after]).toEqual(["0123456789abcdef", 7]);
  expect(await db.get("meta", "book")).toBeUndefined();
});
