import { afterEach, beforeEach, expect, test, vi } from "vitest";
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { closedLossWords, lossWords } from "../../pwa/src/live/keeping.ts";
import { type Database, keep, openDatabase, readKept, readMeta } from "../../pwa/src/store/database.ts";
import { reopening } from "../../pwa/src/store/reopening.ts";
import { writeBack } from "../../pwa/src/store/write_back.ts";
import { Phone } from "./phone.ts";
import { Server } from "./server.ts";

let db: Database;
let reopened: number;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  reopened = 0;
  db = await openDatabase(
    "phone",
    () => {},
    () => void reopened++,
  );
});

afterEach(() => vi.restoreAllMocks());

/** The store is deleted under the open page. */
function evict(): Promise<void> {
  return new Promise((resolve, reject) => {
    const deleting = indexedDB.deleteDatabase("phone");
    deleting.onsuccess = () => resolve();
    deleting.onerror = () => reject(deleting.error);
  });
}

test("a store that was deleted under the open page opens again, empty", async () => {
  await keep(db, "units", "in");
  await evict();
  await vi.waitFor(() => expect(reopened).toBe(1));

  expect(await readKept(db, "units")).toBeUndefined();
  await keep(db, "units", "mm");
  expect(await readKept(db, "units")).toBe("mm");
});

test("a store that the page itself closed stays closed", async () => {
  db.close();

  await expect(keep(db, "units", "in")).rejects.toThrow();
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect(reopened).toBe(0);
});

type Plain = { readonly close: () => void; readonly ask: () => Promise<string>; readonly begin: () => string };

/** Connections that end without a word; each is found ended by whoever asks. */
async function endingWith(name: string) {
  const opened: string[] = [];
  let isEnded = false;
  const fail = () => new DOMException("the connection has ended", name);
  const connect = async (): Promise<Plain> => {
    isEnded = false;
    const own = `connection ${opened.push("")}`;
    return {
      close: () => {},
      ask: async () => (isEnded ? Promise.reject(fail()) : own),
      begin: () => {
        if (isEnded) throw fail();
        return own;
      },
    };
  };
  const again = vi.fn();
  const connection = await reopening(connect, again);
  return {
    connection,
    again,
    end: () => {
      isEnded = true;
    },
  };
}

test.each(["InvalidStateError", "UnknownError"])("whoever meets %s has it opened again", async (name) => {
  const { connection, again, end } = await endingWith(name);
  end();
  await expect(connection.ask()).rejects.toThrow("ended");
  await vi.waitFor(() => expect(again).toHaveBeenCalledTimes(1));
  expect(await connection.ask()).toBe("connection 2");

  end();
  expect(() => connection.begin()).toThrow("ended");
  await vi.waitFor(() => expect(again).toHaveBeenCalledTimes(2));
  expect(connection.begin()).toBe("connection 3");
});

test("a full phone is no reason to open it again", async () => {
  const { connection, again, end } = await endingWith("QuotaExceededError");
  end();
  await expect(connection.ask()).rejects.toThrow("ended");
  await Promise.resolve();

  expect(again).not.toHaveBeenCalled();
});

/** A phone that sent two things and had a third waiting when its store was thrown away; and the server. */
async function emptied() {
  const server = new Server();
  const phone = await Phone.fresh((body, device) => server.sync(body, device));
  const [one, two] = [await phone.record({ kind: "noted" }), await phone.record({ kind: "noted" })];
  await phone.syncAll();
  const three = await phone.record({ kind: "noted" });
  const raws = [one, two, three].map((raw) => ({ ...raw, n: 0 }));
  await phone.db.clear("happenings");
  await phone.db.clear("outbox");
  await phone.db.clear("meta");
  return { server, phone, three, raws };
}

test.each(["knows what waits", "has forgotten what waits"])(
  "a page that %s loses nothing of a store that was emptied, and sends nothing twice",
  async (memory) => {
    const { server, phone, three, raws } = await emptied();
    const unsent = memory === "knows what waits" ? [three] : [];
    const { device } = phone;
    const wasEmptied = await writeBack(phone.db, { device, stamp: three.at, happenings: raws, summaries: [], unsent });

    expect(wasEmptied).toBe(true);
    expect((await readMeta(phone.db, (bytes) => bytes)).device).toBe(device);
    expect(await phone.waiting()).toEqual(unsent);

    await phone.syncAll();

    expect(server.ids).toEqual(raws.map(({ id }) => id));
    expect(await phone.waiting()).toEqual([]);
    expect([...(await phone.ids())].sort()).toEqual(raws.map(({ id }) => id).sort());
  },
);

test("what was recorded before any server was reached is sent too, even where its number is forgotten", async () => {
  const server = new Server();
  const phone = await Phone.fresh((body, device) => server.sync(body, device));
  const raw = await phone.record({ kind: "noted" });
  for (const shelf of ["happenings", "outbox", "meta"] as const) await phone.db.clear(shelf);
  const happenings = [{ ...raw, n: 0 }];
  await writeBack(phone.db, { device: phone.device, stamp: raw.at, happenings, summaries: [], unsent: [] });
  await phone.syncAll();

  expect(server.ids).toEqual([raw.id]);
});

test("a store that still has everything is left alone", async () => {
  const { phone, raws } = await emptied();
  await readMeta(phone.db, (bytes) => bytes);
  const memory = { device: phone.device, stamp: null, happenings: raws, summaries: [], unsent: [] };

  expect(await writeBack(phone.db, memory)).toBe(false);
  expect(await phone.ids()).toEqual([]);
});

test.each([
  [0, "Nothing recorded is lost: the page still had it."],
  [1, "1 photo that no server had is lost; the page had all else."],
  [2, "2 photos that no server had are lost; the page had all else."],
])("what is told when %i photos were lost", (photos, words) => {
  expect(lossWords(photos)).toBe(
    `The browser threw away what was kept here, to make room or because somebody cleared it. ${words} Free some room, and add the page to the home screen.`,
  );
});

const CLOSED =
  "While this page was closed, the browser threw away what was kept here, to make room or because somebody cleared it.";
const NEXT = "Free some room, and add the page to the home screen.";

test.each([
  [{ things: 0, photos: 0 }, ""],
  [{ things: 1, photos: 0 }, `${CLOSED} What was not sent yet is lost: 1 thing. Record it again. ${NEXT}`],
  [{ things: 7, photos: 1 }, `${CLOSED} What was not sent yet is lost: 7 things and 1 photo. Record it again. ${NEXT}`],
  [{ things: 0, photos: 2 }, `${CLOSED} What was not sent yet is lost: 2 photos. Record it again. ${NEXT}`],
  [
    null,
    `${CLOSED} If anything was not sent yet, it is lost: look whether your last entries are there, and record again what is not. ${NEXT}`,
  ],
])("what is told of a store that was thrown away while the page was closed: %j", (unsent, words) => {
  expect(closedLossWords(unsent)).toBe(words);
});
