/**
 * One round trip with the server: it sends what waits here and fetches what is new there. Protocol: web/sync.py.
 *
 * A happening leaves the outbox when the server has it on disk, and one that came counts as taken when this phone has
 * it on disk. So a connection that breaks at any point costs a repeat and nothing else.
 */

import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import type { RefusalDetail, SyncAnswer } from "../wire.gen.ts";
import { type Database, type Meta, metaIn, putMeta, type Writing, write } from "./database.ts";
import { dropTaken, nextBatch, putHappenings, putSummaries, refill } from "./outbox.ts";
import type { Reply } from "./server_client.ts";
import { laterStamp } from "./stamp.ts";

/** The version of the messages that this page speaks. */
const WIRE = 2;

/** What is sent in a round trip, as web/sync.py reads it. */
export type SyncBody = {
  readonly page: number;
  readonly log_epoch: string;
  readonly after: number;
  readonly happenings: readonly Raw[];
};

/** How sync reaches the server and the page. fold: shows what came; gives the summaries of the builds it touched. */
export type SyncLink = {
  readonly ask: (body: SyncBody, device: string) => Promise<Reply<SyncAnswer>>;
  readonly fold: (came: readonly Raw[]) => Promise<readonly BuildSummary[]>;
};

/** more: there is more to fetch or to send. */
export type Outcome =
  | { readonly kind: "done"; readonly more: boolean }
  | { readonly kind: "away" }
  | { readonly kind: "refused"; readonly problem: RefusalDetail };

const AWAY: Outcome = { kind: "away" };

/** Sends a batch and keeps what came; syncs from the start when phone and server are out of step. Rejects when the phone's store fails. */
export async function roundTrip(db: Database, link: SyncLink): Promise<Outcome> {
  const meta = await write(db, "relaxed", metaIn);
  const happenings = await nextBatch(db);
  const reply = await link.ask({ page: WIRE, log_epoch: meta.log_epoch, after: meta.after, happenings }, meta.device);
  if (reply.kind === "away") return AWAY;
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
  return { kind: "done", more: answer.more || (await db.count("outbox")) > 0 };
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
    const asked = { page: WIRE, log_epoch: meta.log_epoch, after: meta.after, happenings: [] };
    const reply = await link.ask(asked, meta.device);
    if (reply.kind !== "ok" || wasRestored(reply.value, meta)) return;
    await keepAnswer(db, link, reply.value, (tx) => moveTo(tx, reply.value));
    more = reply.value.more;
  }
}

/** Fetches everything the server has, then queues all that it lacks. When it breaks off, the next sync begins again. */
async function resync(db: Database, link: SyncLink, { device }: Meta): Promise<Outcome> {
  const known = new Set<string>();
  for (let [after, log_epoch] = [0, ""]; ; ) {
    const reply = await link.ask({ page: WIRE, log_epoch, after, happenings: [] }, device);
    if (reply.kind === "away") return AWAY;
    if (reply.kind === "refused") return reply;
    const answer = reply.value;
    if (log_epoch !== "" && answer.log_epoch !== log_epoch) known.clear();
    for (const { id } of answer.happenings as readonly Raw[]) known.add(id);
    [after, log_epoch] = [answer.position, answer.log_epoch];
    await keepAnswer(db, link, answer, async (tx) => {
      if (answer.more) return;
      await refill(tx, answer.taken_to, known);
      await moveTo(tx, answer);
    });
    if (!answer.more) return { kind: "done", more: (await db.count("outbox")) > 0 };
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
    const last = came.reduce((latest, { at }) => laterStamp(latest, at), stamp);
    await Promise.all([putHappenings(tx, came), putSummaries(tx, summaries), putMeta(tx, { stamp: last })]);
    await also(tx);
  });
}

/** Keeps the position after which the server is asked next time. */
function moveTo(tx: Writing, { position, log_epoch }: SyncAnswer): Promise<void> {
  return putMeta(tx, { after: position, log_epoch });
}
