/** What was recorded here and no server has taken yet. */
import { compare } from "../bench/book.ts";
import type { BuildSummary } from "../bench/loaded_builds.ts";
import { type Raw, readable } from "../bench/read.ts";
import { whenOf } from "../bench/server_clock.ts";
import { DAY_MS } from "../durations.ts";
import type { EntryName, Stamp } from "../wire.gen.ts";
import { type Database, metaIn, putMeta, shelfOf, type Writing, write } from "./database.ts";
import { markAllUnsent } from "./photos.ts";
import { bounded, laterStamp } from "./stamp.ts";

/** The server takes no larger batches. */
const MOST_HAPPENINGS = 500;
const MOST_BYTES = 1_500_000;

/** waiting: happenings that no server has. since: when the first of them was recorded, server time in ms; null for none. */
export type Waiting = { readonly waiting: number; readonly since: number | null };

/**
 * Writes down what was recorded, each with the next number, in one durable transaction; gives it with its number.
 *
 * summaries: those of its builds. Rejects with QuotaExceededError when the phone is full: then nothing is
 * written and no number is spent.
 */
export function keepRecorded(
  db: Database,
  recorded: readonly Raw[],
  summaries: readonly BuildSummary[],
): Promise<readonly Raw[]> {
  return write(db, "strict", async (tx) => {
    const { n, stamp } = await metaIn(tx);
    const numbered = recorded.map((raw, i) => ({ ...raw, n: n + i + 1 }));
    const own = numbered.reduce<Stamp | null>(
      (latest, { at }) => laterStamp(latest, at, Number.POSITIVE_INFINITY),
      null,
    );
    const last = own ? laterStamp(bounded(stamp, own.ms + DAY_MS), own, Number.POSITIVE_INFINITY) : stamp;
    await Promise.all([
      putHappenings(tx, numbered),
      putSummaries(tx, summaries),
      ...numbered.map(async (raw) => tx.objectStore("outbox").put(raw, raw.n)),
      putMeta(tx, { n: n + numbered.length, stamp: last }),
    ]);
    return numbered;
  });
}

/** The next batch to send, in order of numbers. */
export async function nextBatch(db: Database): Promise<readonly Raw[]> {
  return inOneRequest(await db.getAll("outbox", undefined, MOST_HAPPENINGS));
}

/** As many of them, from the first on, as the server takes at once. */
function inOneRequest(raws: readonly Raw[]): readonly Raw[] {
  let bytes = 0;
  const over = raws.findIndex((raw) => {
    bytes += new TextEncoder().encode(JSON.stringify(raw)).length;
    return bytes > MOST_BYTES;
  });
  return over < 0 ? raws : raws.slice(0, Math.max(1, over));
}

/** This phone's copies of these entries, as many as the server takes at once. */
export async function copiesOf(db: Database, entries: readonly EntryName[]): Promise<readonly Raw[]> {
  const shelves = (build: string) => (build ? [`build/${build}`] : ["shop", "air"]);
  const keys = entries.flatMap(({ id, build }) => shelves(build).map((shelf): [string, string] => [shelf, id]));
  const found = await Promise.all(keys.map((key) => db.get("happenings", key)));
  return inOneRequest(found.flatMap((raw) => raw ?? []));
}

/** How much waits in the outbox, and since when. */
export async function readWaiting(db: Database): Promise<Waiting> {
  const [waiting, [first]] = await Promise.all([db.count("outbox"), db.getAll("outbox", undefined, 1)]);
  return { waiting, since: first ? whenOf(first).ms : null };
}

/** Drops from the outbox what the server has on its disk: all numbers up to `takenTo`. */
export async function dropTaken(tx: Writing, takenTo: number): Promise<void> {
  await Promise.all([
    tx.objectStore("outbox").delete(IDBKeyRange.upperBound(takenTo)),
    putMeta(tx, { taken_to: takenTo }),
  ]);
}

/**
 * Fills the outbox again with everything here that the server lacks, numbered from `takenTo` + 1.
 *
 * For a server that was restored, and for a phone that was restored or paired again. What other devices recorded and
 * the server lost goes too, and so does every photo. known: ids of all that the server has.
 */
export async function refill(tx: Writing, takenTo: number, known: ReadonlySet<string>): Promise<void> {
  const here = await tx.objectStore("happenings").getAll();
  const lacking = here.filter(({ id }) => !known.has(id)).sort((a, b) => compare(readable(a), readable(b)));
  const numbered = lacking.map((raw, i) => ({ ...raw, n: takenTo + i + 1 }));
  await tx.objectStore("outbox").clear();
  await Promise.all([
    putHappenings(tx, numbered),
    ...numbered.map(async (raw) => tx.objectStore("outbox").put(raw, raw.n)),
    putMeta(tx, { n: takenTo + numbered.length, taken_to: takenTo }),
    markAllUnsent(tx),
  ]);
}

/** Writes happenings where they belong. */
export async function putHappenings(tx: Writing, raws: readonly Raw[]): Promise<void> {
  await Promise.all(raws.map(async (raw) => tx.objectStore("happenings").put(raw, [shelfOf(raw), raw.id])));
}

/** Writes the summaries of builds. */
export async function putSummaries(tx: Writing, summaries: readonly BuildSummary[]): Promise<void> {
  await Promise.all(summaries.map(async (summary) => tx.objectStore("builds").put(summary, summary.id)));
}
