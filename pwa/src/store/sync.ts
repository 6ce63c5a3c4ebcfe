/**
 * One round trip with the server: it sends what waits here and fetches what is new there. Protocol: web/sync.py.
 *
 * A happening leaves the outbox when the server has it on disk, and one that came counts as taken when this phone has
 * it on disk. So a connection that breaks at any point costs a repeat and nothing else.
 */

import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import { DAY_MS } from "../durations.ts";
import type { RefusalDetail, SyncAnswer } from "../wire.gen.ts";
import { type Database, type Meta, metaIn, putMeta, type Writing, write } from "./database.ts";
import { copiesOf, dropTaken, nextBatch, putHappenings, putSummaries, refill } from "./outbox.ts";
import { markUnsent } from "./photos.ts";
import { type Explanation, Garbled, type Reply } from "./server_client.ts";
import { bounded, laterStamp } from "./stamp.ts";

/** The version of the messages that this page speaks. */
const WIRE = 2;

/** What is sent in a round trip, as web/sync.py reads it. */
export type SyncBody = {
  readonly page: number;
  readonly log_epoch: string;
  readonly after: number;
  readonly happenings: readonly Raw[];
  readonly healing?: readonly Raw[];
  readonly confirmed?: number;
};

/**
 * How sync reaches the server and the page. fold: shows what came; gives the summaries of the builds it touched.
 * offered: ids of damaged entries that this phone has sent again, or does not have.
 */
export type SyncLink = {
  readonly offered: Set<string>;
  readonly ask: (body: SyncBody, device: string) => Promise<Reply<SyncAnswer>>;
  readonly fold: (came: readonly Raw[]) => Promise<readonly BuildSummary[]>;
};

/** more: there is more to fetch or to send. note: what else to know of the server's records, in a sentence. */
export type Outcome =
  | { readonly kind: "done"; readonly more: boolean; readonly note?: string }
  | { readonly kind: "away" }
  | { readonly kind: "garbled"; readonly problem: Explanation }
  | { readonly kind: "refused"; readonly problem: RefusalDetail };

const AWAY: Outcome = { kind: "away" };

/** Sends a batch and keeps what came; syncs from the start when phone and server are out of step. Rejects when the phone's store fails. */
export async function roundTrip(db: Database, link: SyncLink): Promise<Outcome> {
  const meta = await write(db, "relaxed", metaIn);
  const happenings = await nextBatch(db);
  const reply = await link.ask({ ...asking(meta), after: meta.after, happenings }, meta.device);
  if (reply.kind === "away") return AWAY;
  if (reply.kind === "garbled") return reply;
  if (reply.kind === "refused" && isOutOfStep(reply.problem)) return resync(db, link, meta);
  if (reply.kind === "refused") {
    if (reply.problem.kind === "disk-full") await fetchOnly(db, link);
    return reply;
  }
  const answer = reply.value;
  if (wasRestored(answer, meta)) return resync(db, link, meta);
  const last = happenings.at(-1);
  await keepAnswer(db, link, answer, async (tx) => {
    // Only what was sent may go: something may have been recorded meanwhile.
    if (last) await dropTaken(tx, last.n);
    await moveTo(tx, answer);
  });
  await heal(db, link, meta.device, answer);
  return done(answer, answer.more || (await db.count("outbox")) > 0);
}

/** What every request says of this phone. A store that was written back does not know what was confirmed to it. */
function asking({ log_epoch, taken_to, n }: Meta) {
  return { page: WIRE, log_epoch, ...(taken_to > 0 && taken_to <= n && { confirmed: taken_to }) };
}

function done({ early = [], damaged = [] }: SyncAnswer, more: boolean): Outcome {
  const waits = early.length === 1 ? "1 thing waits" : `${early.length} things wait`;
  const lost = damaged.length === 1 ? "1 entry is" : `${damaged.length} entries are`;
  const note = [
    early.length > 0 && `${waits} at the server: the time is far ahead of its clock. Look under Shop.`,
    damaged.length > 0 && `${lost} damaged at the server. Look under Shop.`,
  ].filter((said) => said !== false);
  return { kind: "done", more, ...(note.length > 0 && { note: note.join(" ") }) };
}

/**
 * Sends what the server cannot read any more and this phone has, each entry once while the page is open. Photos go
 * with the next ones. A failure costs nothing: the next page that is opened tries again.
 */
async function heal(
  db: Database,
  link: SyncLink,
  device: string,
  { damaged = [], damaged_photos = [], position, log_epoch }: SyncAnswer,
): Promise<void> {
  if (damaged_photos.length > 0) await markUnsent(db, damaged_photos);
  const lost = damaged.filter(({ id }) => !link.offered.has(id));
  if (lost.length === 0) return;
  const healing = await copiesOf(db, lost);
  for (const { id } of healing.length > 0 ? healing : lost) link.offered.add(id);
  if (healing.length === 0) return;
  await link.ask({ page: WIRE, log_epoch, after: position, happenings: [], healing }, device);
}

/** Reads an answer of /sync. Rejects with SyntaxError or Garbled. */
export async function readAnswer(response: Response): Promise<SyncAnswer> {
  const said = (await response.json()) as SyncAnswer;
  const counts = [said?.taken_to, said?.position, said?.server_time];
  const isWhole = counts.every(Number.isSafeInteger) && Array.isArray(said.happenings) && said.happenings.every(isRaw);
  if (!isWhole || typeof said.log_epoch !== "string" || typeof said.more !== "boolean") throw new Garbled("/sync");
  return said;
}

/** Whether that has all that every happening has. */
function isRaw(value: unknown): value is Raw {
  const { id, build, at, about, what } = (value ?? {}) as Partial<Raw>;
  const isText = [id, build, at?.device, what?.kind].every((text) => typeof text === "string");
  return isText && [at?.ms, at?.counter].every(Number.isFinite) && Array.isArray(about);
}

/** Whether the server or this phone was restored: the log is another, or one lacks numbers that the other knows. */
function wasRestored({ log_epoch, taken_to }: SyncAnswer, meta: Meta): boolean {
  return (meta.log_epoch !== "" && log_epoch !== meta.log_epoch) || taken_to < meta.taken_to || taken_to > meta.n;
}

/** Whether the numbers do not follow on what the server has: one of the two was restored, or the phone paired again. */
function isOutOfStep({ kind }: RefusalDetail): boolean {
  return kind === "gap" || kind === "two-phones";
}

/** Fetches what is new and sends nothing: a server whose disk is full takes nothing, but others' entries are on it. */
async function fetchOnly(db: Database, link: SyncLink): Promise<void> {
  for (let more = true; more; ) {
    const meta = await write(db, "relaxed", metaIn);
    const asked = { ...asking(meta), after: meta.after, happenings: [] };
    const reply = await link.ask(asked, meta.device);
    if (reply.kind !== "ok" || wasRestored(reply.value, meta)) return;
    await keepAnswer(db, link, reply.value, (tx) => moveTo(tx, reply.value));
    more = reply.value.more;
  }
}

/** Fetches everything the server has, then queues all that it lacks. When it breaks off, the next sync begins again. */
async function resync(db: Database, link: SyncLink, meta: Meta): Promise<Outcome> {
  const { device } = meta;
  const known = new Set<string>();
  for (let [after, log_epoch] = [0, meta.log_epoch]; ; ) {
    const reply = await link.ask({ ...asking(meta), log_epoch, after, happenings: [] }, device);
    if (reply.kind === "away") return AWAY;
    if (reply.kind !== "ok") return reply;
    const answer = reply.value;
    if (answer.log_epoch !== log_epoch) known.clear();
    for (const { id } of answer.happenings as readonly Raw[]) known.add(id);
    [after, log_epoch] = [answer.position, answer.log_epoch];
    await keepAnswer(db, link, answer, async (tx) => {
      if (answer.more) return;
      await refill(tx, answer.taken_to, known);
      await moveTo(tx, answer);
    });
    if (answer.more) continue;
    await heal(db, link, device, answer);
    return done(answer, (await db.count("outbox")) > 0);
  }
}

/** Shows what came, then writes it down, in one transaction with what `also` writes. */
async function keepAnswer(
  db: Database,
  link: SyncLink,
  answer: SyncAnswer,
  also: (tx: Writing) => Promise<void>,
): Promise<void> {
  const came = answer.happenings as readonly Raw[];
  const summaries = await link.fold(came);
  await write(db, "relaxed", async (tx) => {
    const { stamp } = await metaIn(tx);
    const latestMs = answer.latest_ms ?? answer.server_time + DAY_MS;
    const last = came.reduce((latest, { at }) => laterStamp(latest, at, latestMs), bounded(stamp, latestMs));
    await Promise.all([putHappenings(tx, came), putSummaries(tx, summaries), putMeta(tx, { stamp: last })]);
    await also(tx);
  });
}

/** Keeps the position after which the server is asked next time. */
function moveTo(tx: Writing, { position, log_epoch }: SyncAnswer): Promise<void> {
  return putMeta(tx, { after: position, log_epoch });
}
