import { afterEach, beforeEach, expect, test, vi } from "vitest";
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import type { Raw } from "../../pwa/src/bench/read.ts";
import { type Database, openDatabase } from "../../pwa/src/store/database.ts";
import { Recorder } from "../../pwa/src/store/recorder.ts";
import type { SyncView } from "../../pwa/src/store/sender.ts";
import { newId } from "../../pwa/src/store/stamp.ts";
import { AWAY, refused, Server } from "./server.ts";

let server: Server;
let isAway: boolean;
let locks: Locks;

/** Locks as the Web Locks standard has them, for one name: who steals has it, the others stand in line. */
class Locks {
  private line: { grant: () => void; reject: (error: DOMException) => void }[] = [];
  private holder: { reject: (error: DOMException) => void } | null = null;

  request(_name: string, { steal, signal }: LockOptions, work: () => Promise<never>): Promise<never> {
    return new Promise((_, reject) => {
      const one = { grant: () => void work(), reject };
      signal?.addEventListener("abort", () => {
        this.line = this.line.filter((other) => other !== one);
        reject(new DOMException("stolen or given up", "AbortError"));
      });
      if (steal) this.holder?.reject(new DOMException("stolen or given up", "AbortError"));
      else if (this.holder) return void this.line.push(one);
      this.holder = one;
      one.grant();
    });
  }

  /** The tab that has it is closed. */
  leave(): void {
    this.holder = this.line.shift() ?? null;
    (this.holder as { grant?: () => void } | null)?.grant?.();
  }
}

class Listening extends EventTarget {
  static all: Listening[] = [];
  static readonly CLOSED = 2;
  readyState = 1;
  constructor() {
    super();
    Listening.all.push(this);
  }
  close(): void {
    this.readyState = 2;
  }
}

/** Tabs of an earlier test live on: each test has a channel of its own, so that they neither hear nor answer. */
class OwnChannel extends BroadcastChannel {
  static tests = 0;
  constructor(name: string) {
    super(`${name} ${OwnChannel.tests}`);
  }
}

beforeEach(() => {
  OwnChannel.tests += 1;
  globalThis.indexedDB = new IDBFactory();
  server = new Server();
  isAway = false;
  locks = new Locks();
  Listening.all = [];
  vi.stubGlobal("EventSource", Listening);
  vi.stubGlobal("BroadcastChannel", OwnChannel);
  vi.stubGlobal("navigator", { locks });
});

afterEach(() => vi.unstubAllGlobals());

/** asked: how many happenings each of its round trips sent. */
type Tab = {
  recorder: Recorder;
  db: Database;
  folded: Raw[];
  views: SyncView[];
  ran: (number | null)[];
  retries: (() => void)[];
  asked: number[];
};

async function tab(): Promise<Tab> {
  const db = await openDatabase("phone", () => {});
  const its = server; // a round trip that outlives its test asks the server of that test
  const [folded, views, retries]: [Raw[], SyncView[], (() => void)[]] = [[], [], []];
  const asked: number[] = [];
  const ran: (number | null)[] = [];
  const page = {
    fold: async (came: readonly Raw[]) => {
      folded.push(...came);
      return [];
    },
    summaries: () => [],
    tell: (view: SyncView) => void views.push(view),
    noteAlarms: (ms: number | null) => void ran.push(ms),
    ask: async (...[body, device]: Parameters<Server["sync"]>) => {
      asked.push(body.happenings.length);
      return isAway ? AWAY : its.sync(body, device);
    },
  };
  const world = {
    random: () => 0,
    after: (_ms: number, work: () => void) => {
      retries.push(work);
      return () => {};
    },
  };
  const recorder = new Recorder(db, page, world, await db.getAll("outbox"));
  return { recorder, db, folded, views, ran, retries, asked };
}

let count = 0;

function note(text: string): Raw {
  const id = newId(1_700_000_000_000 + ++count, (bytes) => bytes);
  const at = { ms: count, counter: 0, device: "aaaaaaaaaaaaaaaa" };
  return { id, n: 0, at, build: "b", about: [], what: { kind: "noted", text } as never };
}

test("what one tab recorded the other shows, and the tab in front sends it once", async () => {
  const [front, back] = [await tab(), await tab()];
  front.recorder.wake();
  const raw = note("a");
  await back.recorder.keep(raw);

  await vi.waitFor(() => expect(server.ids).toEqual([raw.id]));
  await vi.waitFor(() => expect(front.folded.map(({ id }) => id)).toEqual([raw.id]));
});

test("what came to the tab in front the other shows too", async () => {
  const [front, back] = [await tab(), await tab()];
  const raw = note("elsewhere");
  server.sync({ page: 2, log_epoch: "", after: 0, happenings: [{ ...raw, n: 1 }] }, "b".repeat(16));
  front.recorder.wake();

  await vi.waitFor(() => expect(back.folded.map(({ id }) => id)).toEqual([raw.id]));
  await vi.waitFor(() => expect(back.views.at(-1)?.state).toBe("synced"));
});

test("the tab that comes to the front talks to the server, and the other stops", async () => {
  const [one, two] = [await tab(), await tab()];
  one.recorder.wake();
  await vi.waitFor(() => expect(Listening.all).toHaveLength(1));
  two.recorder.wake();
  await vi.waitFor(() => expect(Listening.all.map(({ readyState }) => readyState)).toEqual([2, 1]));
});

test("a tab that lost its turn does not ask the server again when its pause is over", async () => {
  const [one, two] = [await tab(), await tab()];
  one.recorder.wake();
  await vi.waitFor(() => expect(one.retries).toHaveLength(1));
  two.recorder.wake();
  await vi.waitFor(() => expect(Listening.all.map(({ readyState }) => readyState)).toEqual([2, 1]));
  const before = one.asked.length;
  one.retries[0]?.();
  const raw = note("a");
  await two.recorder.keep(raw);
  await vi.waitFor(() => expect(server.ids).toEqual([raw.id]));

  expect(one.asked).toHaveLength(before);
});

test("when the tab in front is closed the other takes over", async () => {
  const [one, two] = [await tab(), await tab()];
  one.recorder.wake();
  two.recorder.wake();
  await vi.waitFor(() => expect(Listening.all).toHaveLength(2));
  locks.leave();

  await vi.waitFor(() => expect(Listening.all).toHaveLength(3));
  const raw = note("a");
  await one.recorder.keep(raw);
  await vi.waitFor(() => expect(server.ids).toEqual([raw.id]));
});

test("a browser without locks syncs all the same", async () => {
  vi.stubGlobal("navigator", {});
  const { recorder } = await tab();
  recorder.wake();
  const raw = note("a");
  await recorder.keep(raw);

  await vi.waitFor(() => expect(server.ids).toEqual([raw.id]));
});

test("a nudge fetches, unless it tells of what is here already", async () => {
  const { recorder, folded, views, retries } = await tab();
  recorder.wake();
  await vi.waitFor(() => expect(retries).toHaveLength(1)); // it rests: the first "synced" may have another round behind it
  const raw = note("elsewhere");
  server.sync({ page: 2, log_epoch: "", after: 0, happenings: [{ ...raw, n: 1 }] }, "b".repeat(16));
  const shown = views.length;
  Listening.all[0]?.dispatchEvent(new MessageEvent("nudge", { data: "0" }));

  expect(views).toHaveLength(shown);

  Listening.all[0]?.dispatchEvent(new MessageEvent("nudge", { data: "1" }));
  await vi.waitFor(() => expect(folded.map(({ id }) => id)).toEqual([raw.id]));
});

test("when the stream breaks the server is asked at once, and then in its turn", async () => {
  const { recorder, views, retries } = await tab();
  recorder.wake();
  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("synced"));
  await vi.waitFor(() => expect(retries).toHaveLength(1));
  const [stream] = Listening.all;
  stream?.dispatchEvent(new Event("open"));
  isAway = true;
  stream?.dispatchEvent(new Event("error"));
  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("away"));
  const before = views.length;
  stream?.dispatchEvent(new Event("error"));

  expect(views).toHaveLength(before);
});

test("every tab hears when the server last saw to its alarms, with each answer and from the stream", async () => {
  const [front, back] = [await tab(), await tab()];
  server.alarmsRan = 5000;
  front.recorder.wake();
  await vi.waitFor(() => expect(back.ran.at(-1)).toBe(5000));
  await vi.waitFor(() => expect(front.views.at(-1)?.state).toBe("synced"));
  Listening.all[0]?.dispatchEvent(new MessageEvent("alarms", { data: "6000" }));
  Listening.all[0]?.dispatchEvent(new MessageEvent("alarms", { data: "" }));
  await vi.waitFor(() => expect(back.ran.slice(-3)).toEqual([5000, 6000, null]));

  expect(front.ran).toEqual(back.ran);
});

test("a full phone keeps it in memory, says so over all else, and tries again", async () => {
  const { recorder, db, views, retries } = await tab();
  recorder.wake();
  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("synced"));
  const real = db.transaction.bind(db);
  const full = vi.spyOn(db, "transaction").mockImplementation(((...given: Parameters<typeof real>) => {
    if (given[1] === "readwrite" && (given[2] as IDBTransactionOptions).durability === "strict")
      throw new DOMException("no room", "QuotaExceededError");
    return real(...given);
  }) as never);
  const raw = note("a");
  await recorder.keep(raw);

  expect(views.at(-1)).toMatchObject({
    state: "phone full",
    waiting: 1,
    sentence:
      "This phone has no room left: 1 thing is in memory alone. Free some room, and leave this page open: it tries again.",
  });

  full.mockRestore();
  retries.at(-1)?.();
  await vi.waitFor(() => expect(server.ids).toEqual([raw.id]));
  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("synced"));
});

test("from the tap on it waits, before the disk has it and after, until the server has it", async () => {
  const { recorder, views } = await tab();
  recorder.wake();
  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("synced"));
  const [first, second] = [note("a"), note("b")];
  const kept = recorder.keep(first);

  expect(views.at(-1)).toMatchObject({ state: "sending", waiting: 1, since: first.at.ms });

  await kept;
  void recorder.keep(second);

  expect(views.at(-1)).toMatchObject({ state: "sending", waiting: 2, since: first.at.ms });

  await vi.waitFor(() => expect(views.at(-1)).toMatchObject({ state: "synced", waiting: 0 }));
  expect(server.ids).toEqual([first.id, second.id]);
});

test("what one tab recorded waits in the other too, before anybody sends it", async () => {
  const [front, back] = [await tab(), await tab()];
  await back.recorder.keep(note("a"));

  await vi.waitFor(() => expect(front.views.at(-1)).toMatchObject({ state: "sending", waiting: 1 }));
});

test("a page opened with work that waits says so from the start, and never that all is with the server", async () => {
  isAway = true;
  const before = await tab();
  await before.recorder.keep(note("before"));
  const { recorder, views } = await tab();
  void recorder.keep(note("now"));

  expect(views.at(-1)).toMatchObject({ state: "sending", waiting: 2 });

  recorder.wake();
  await vi.waitFor(() => expect(views.at(-1)).toMatchObject({ state: "away", waiting: 2 }));
  expect(views.map(({ state }) => state)).not.toContain("synced");
});

test("another tab that has not counted yet what this one recorded does not make it say that all is sent", async () => {
  const { recorder, folded, views } = await tab();
  await recorder.keep(note("a"));
  const other = new OwnChannel("benchbell");
  const early: SyncView = { waiting: 0, since: null, state: "synced", sentence: "All is with the server." };
  const before = views.length;
  other.postMessage({ kind: "syncing", view: early });
  await vi.waitFor(() => expect(views.length).toBeGreaterThan(before));
  other.postMessage({ kind: "came", raws: [note("later")] });
  await vi.waitFor(() => expect(folded).toHaveLength(1));

  expect(views.at(-1)).toMatchObject({ state: "sending", waiting: 1 });
  expect(views.map(({ state }) => state)).not.toContain("synced");
});

test("while the server is away taps are kept in their order", async () => {
  isAway = true;
  const { recorder, db, views } = await tab();
  recorder.wake();
  const raws = [note("a"), note("b"), note("c")];
  await Promise.all(raws.map((raw) => recorder.keep(raw)));

  await vi.waitFor(async () => expect(await db.count("outbox")).toBe(3));
  expect((await db.getAll("outbox")).map(({ id }) => id)).toEqual(raws.map(({ id }) => id));
  await vi.waitFor(() => expect(views.at(-1)).toMatchObject({ state: "away", waiting: 3 }));
});

test("a page too old keeps its outbox", async () => {
  server.sync = () => refused("page-too-old");
  const { recorder, db, views } = await tab();
  recorder.wake();
  await recorder.keep(note("a"));

  await vi.waitFor(() => expect(views.at(-1)?.state).toBe("page too old"));
  expect(await db.count("outbox")).toBe(1);
});
