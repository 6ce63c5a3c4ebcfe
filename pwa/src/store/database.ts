/**
 * What the phone keeps, in IndexedDB.
 *
 * Opening reads one summary per build, the happenings of open builds, recent air and the reading before. Finished builds are read when
 * somebody opens them.
 */
import { type DBSchema, type IDBPDatabase, type IDBPObjectStore, type IDBPTransaction, openDB } from "idb";
import { type BuildSummary, isNeeded, SHOP } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import { DAY_MS } from "../durations.ts";
import type { Stamp } from "../wire.gen.ts";
import { reopening } from "./reopening.ts";
import { newDevice, newId, type RandomBytes } from "./stamp.ts";

/** A photo on this phone; its bytes lie in `pictures`. kept_ms: since when. unsent: no server has it yet. */
export type KeptPhoto = {
  readonly sha256: string;
  readonly type: string;
  readonly bytes: number;
  readonly kept_ms: number;
  readonly unsent: boolean;
};

/**
 * happenings: to the letter, by shelf and id. outbox: what no server has taken yet, by n. builds: their summaries.
 * meta: see Meta; and what other rooms keep, by name. photos and pictures: by SHA-256.
 */
interface Shelves extends DBSchema {
  happenings: { key: [string, string]; value: Raw };
  outbox: { key: number; value: Raw };
  builds: { key: string; value: BuildSummary };
  meta: { key: string; value: unknown };
  photos: { key: string; value: KeptPhoto };
  pictures: { key: string; value: Uint8Array<ArrayBuffer> };
}

/** The phone's open store. */
export type Database = IDBPDatabase<Shelves>;

/**
 * device: this phone's own name. n: its last number. stamp: the latest made or met here.
 * after: the last position taken from the server. log_epoch: which run of positions that belongs to. taken_to: what
 * the server has of ours.
 */
export type Meta = {
  readonly device: string;
  readonly n: number;
  readonly stamp: Stamp | null;
  readonly after: number;
  readonly log_epoch: string;
  readonly taken_to: number;
};

const FRESH: Meta = { device: "", n: 0, stamp: null, after: 0, log_epoch: "", taken_to: 0 };

/** Of the air before that only the last reading matters: it is what was known as the earliest running clock started. */
const RECENT_MS = 60 * DAY_MS;

const SHELVES = ["happenings", "outbox", "builds", "meta", "photos", "pictures"] as const;
/** How many of them a phone had, by version; from version 2 on all. */
const SHELVES_BY_VERSION = [0, 4];
type Shelf = (typeof SHELVES)[number];

/**
 * Opens the phone's store, and makes it on the first day. Rejects when the browser allows no store.
 *
 * onBlocking: called when a newer page in another tab needs this one closed. onReopened: called when the browser had
 * ended the connection, and perhaps thrown the store away, and it is open again.
 */
export function openDatabase(name: string, onBlocking: () => void, onReopened = () => {}): Promise<Database> {
  return reopening((onEnd) => connect(name, onBlocking, onEnd), onReopened);
}

function connect(name: string, onBlocking: () => void, onEnd: () => void): Promise<Database> {
  return openDB<Shelves>(name, 3, {
    async upgrade(db, was, _now, tx) {
      const had = SHELVES_BY_VERSION[was] ?? SHELVES.length;
      for (const store of SHELVES.slice(had)) db.createObjectStore(store);
      if (was > 0 && was < 3) await renameEpoch(tx.objectStore("meta"));
    },
    blocking(_now, wanted, event) {
      (event.target as IDBDatabase).close();
      if (wanted === null) onEnd();
      else onBlocking();
    },
    terminated: onEnd,
  });
}

/** Until version 3 the log's epoch was kept as "book". */
async function renameEpoch(meta: IDBPObjectStore<Shelves, Shelf[], "meta", "versionchange">): Promise<void> {
  const epoch = await meta.get("book");
  if (epoch !== undefined) await meta.put(epoch, "log_epoch");
  await meta.delete("book");
}

/** A transaction that may write everywhere. */
export type Writing = IDBPTransaction<Shelves, Shelf[], "readwrite">;

/**
 * Writes all that `work` writes, or nothing of it; resolves when the disk has it.
 *
 * strict: what a person recorded survives a dead battery (the browsers' own choice is "relaxed"). What the server
 * can give again need not. Rejects with QuotaExceededError when the phone is full.
 */
export async function write<Answer>(
  db: Database,
  durability: "strict" | "relaxed",
  work: (tx: Writing) => Promise<Answer>,
): Promise<Answer> {
  const tx: Writing = db.transaction([...SHELVES], "readwrite", { durability });
  const working = work(tx).catch((error: unknown) => {
    tx.abort();
    throw error;
  });
  const [answer] = await Promise.all([working, tx.done]);
  return answer;
}

/** The shelf of a happening: its build's, the air's, or the shop's. */
export function shelfOf({ build, what }: Pick<Raw, "build" | "what">): string {
  if (build !== SHOP) return `build/${build}`;
  return what.kind === "conditions" ? "air" : "shop";
}

/** Whether the store was made just now: it does not even have the phone's name. */
export async function isNew(db: Database): Promise<boolean> {
  return (await db.get("meta", "device")) === undefined;
}

/** What is kept about this phone. Its name is made when it has none: until a server gives it one. */
export function readMeta(db: Database, random: RandomBytes): Promise<Meta> {
  return write(db, "strict", async (tx) => {
    const meta = await metaIn(tx);
    if (meta.device) return meta;
    const device = newDevice(random);
    await tx.objectStore("meta").put(device, "device");
    return { ...meta, device };
  });
}

/** What is kept about this phone, read inside a transaction. */
export async function metaIn(tx: Writing): Promise<Meta> {
  const names = Object.keys(FRESH) as (keyof Meta)[];
  const values = await Promise.all(names.map((name) => tx.objectStore("meta").get(name)));
  const found = names.flatMap((name, i) => (values[i] === undefined ? [] : [[name, values[i]]]));
  return { ...FRESH, ...Object.fromEntries(found) };
}

/** Changes what is kept about this phone, inside a transaction. */
export async function putMeta(tx: Writing, changed: Partial<Meta>): Promise<void> {
  await Promise.all(Object.entries(changed).map(async ([name, value]) => tx.objectStore("meta").put(value, name)));
}

/** What is read as the page opens. */
export type Opened = { readonly summaries: readonly BuildSummary[]; readonly raws: readonly Raw[] };

/** All summaries, and the happenings that matter at the bench now. now: server time, ms. */
export async function readOpen(db: Database, now: number): Promise<Opened> {
  const summaries = await db.getAll("builds");
  const ids = summaries.filter((one) => isNeeded(one) || one.unknown > 0).map(({ id }) => id);
  const recent = newId(Math.max(0, now - RECENT_MS), (bytes) => bytes);
  const shelves = await Promise.all([
    readShelf(db, "shop"),
    readLastBefore(db, "air", recent),
    readShelf(db, "air", recent),
    ...ids.map((id) => readBuild(db, id)),
  ]);
  return { summaries, raws: shelves.flat() };
}

/** All happenings of a build. */
export function readBuild(db: Database, build: string): Promise<Raw[]> {
  return readShelf(db, `build/${build}`);
}

/** Everything on a shelf, from an id on. Ids begin with their time, so later ones stand later. */
function readShelf(db: Database, shelf: string, from = ""): Promise<Raw[]> {
  return db.getAll("happenings", IDBKeyRange.bound([shelf, from], [shelf, "\uffff"]));
}

/** What stands last on a shelf before an id; nothing where none does. */
async function readLastBefore(db: Database, shelf: string, id: string): Promise<Raw[]> {
  const range = IDBKeyRange.bound([shelf, ""], [shelf, id], false, true);
  const last = await db.transaction("happenings").store.openCursor(range, "prev");
  return last ? [last.value] : [];
}

/** A value that `keep` wrote, by name; undefined when there is none. */
export function readKept(db: Database, name: string): Promise<unknown> {
  return db.get("meta", `kept/${name}`);
}

/** Keeps a value of the page by name. Rejects with QuotaExceededError when the phone is full. */
export async function keep(db: Database, name: string, value: unknown): Promise<void> {
  await db.put("meta", value, `kept/${name}`);
}

/** Whether an error says that the phone has no room left. */
export function isFull(error: unknown): boolean {
  return error instanceof DOMException && error.name === "QuotaExceededError";
}

/**
 * Takes the name that the server gave this device: what is recorded from now on goes under it, and nothing was confirmed
 * to it yet, so that the next sync begins at the start. name: of the store.
 */
export async function becomeDevice(device: string, name = "benchbell"): Promise<void> {
  const db = await openDatabase(name, () => {});
  await write(db, "strict", async (tx) => {
    const was = await metaIn(tx);
    if (was.device !== device) await putMeta(tx, { device, taken_to: was.n + 1 });
  });
  db.close();
}
