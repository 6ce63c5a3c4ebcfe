/**
 * One round trip with the server: what waits here goes, what is new there comes. The protocol stands in web/sync.py.
 *
 * Nothing leaves the outbox before the server has said that it is on its disk, and nothing that came counts as taken
 * before it is on this phone's. A cut anywhere costs a repeat.
 */

import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import type { Problem, SyncAnswer } from "../wire.gen.ts";
import { type Database, type Meta, metaIn, putMeta, type Writing, write } from "./database.ts";
import { dropTaken, nextBatch, putHappenings, putSummaries, refill } from "./outbox.ts";
import { later } from "./stamp.ts";

/** The version of the messages that this page speaks. */
const WIRE = 2;

export type SyncBody = {
  readonly page: number;
  readonly log_epoch: string;
  readonly after: number;
  readonly happenings: readonly Raw[];
};

/** An answer, a refusal with its reason, or null when the server cannot be reached. */
export type Reply = { readonly answer: SyncAnswer } | { readonly problem: Problem } | null;

/** What sync needs of the world. fold: shows what came, and tells what its builds come to. */
export type Way = {
  readonly ask: (body: SyncBody, device: string) => Promise<Reply>;
  readonly fold: (came: readonly Raw[]) => Promise<readonly BuildSummary[]>;
};

/** more: there is more to fetch or to send. */
export type Outcome =
  | { readonly kind: "done"; readonly more: boolean }
  | { readonly kind: "away" }
  | { readonly kind: "refused"; readonly problem: Problem };

const AWAY: Outcome = { kind: "away" };

/** Sends a batch and takes in what came; mends it when phone and server do not follow on each other. */
export async function roundTrip(db: Database, way: Way): Promise<Outcome> {
  const meta = await write(db, "relaxed", metaIn);
  const happenings = await nextBatch(db);
  const reply = await way.ask({ page: WIRE, log_epoch: meta.log_epoch, after: meta.after, happenings }, meta.device);
  if (!reply) return AWAY;
  if ("problem" in reply)
    return isAstray(reply.problem) ? mend(db, way, meta) : { kind: "refused", problem: reply.problem };
  const { answer } = reply;
  if (isAnother(answer, meta)) return mend(db, way, meta);
  const last = happenings.at(-1);
  await take(db, way, answer, async (tx) => {
    // Only what was sent may go: something may have been recorded on the way.
    if (last) await dropTaken(tx, last.n);
    await moveTo(tx, answer);
  });
  return { kind: "done", more: answer.more || (await db.count("outbox")) > 0 };
}

/** Another run of positions, or numbers that one of the two does not know: the server was restored, or the phone. */
function isAnother({ log_epoch, taken_to }: SyncAnswer, meta: Meta): boolean {
  return (meta.log_epoch !== "" && log_epoch !== meta.log_epoch) || taken_to < meta.taken_to || taken_to > meta.n;
}

/** The numbers do not follow on what the server has: it was restored, or this phone was, or it was paired anew. */
function isAstray({ kind }: Problem): boolean {
  return kind === "gap" || kind === "two-phones";
}

/** Fetches everything the server has, then lines up for sending all that it lacks. Cut short, it begins again. */
async function mend(db: Database, way: Way, { device }: Meta): Promise<Outcome> {
  const known = new Set<string>();
  for (let [after, log_epoch] = [0, ""]; ; ) {
    const reply = await way.ask({ page: WIRE, log_epoch, after, happenings: [] }, device);
    if (!reply) return AWAY;
    if ("problem" in reply) return { kind: "refused", problem: reply.problem };
    const { answer } = reply;
    if (log_epoch !== "" && answer.log_epoch !== log_epoch) known.clear();
    for (const { id } of answer.happenings as readonly Raw[]) known.add(id);
    [after, log_epoch] = [answer.position, answer.log_epoch];
    await take(db, way, answer, async (tx) => {
      if (answer.more) return;
      await refill(tx, answer.taken_to, known);
      await moveTo(tx, answer);
    });
    if (!answer.more) return { kind: "done", more: (await db.count("outbox")) > 0 };
  }
}

/** Shows what came, then writes it down, all in one with what `also` writes. */
async function take(db: Database, way: Way, answer: SyncAnswer, also: (tx: Writing) => Promise<void>): Promise<void> {
  const came = answer.happenings as readonly Raw[];
  const summaries = await way.fold(came);
  await write(db, "relaxed", async (tx) => {
    const { stamp } = await metaIn(tx);
    const last = came.reduce((latest, { at }) => later(latest, at), stamp);
    await Promise.all([putHappenings(tx, came), putSummaries(tx, summaries), putMeta(tx, { stamp: last })]);
    await also(tx);
  });
}

/** From here on the server is asked for what comes after. */
function moveTo(tx: Writing, { position, log_epoch }: SyncAnswer): Promise<void> {
  return putMeta(tx, { after: position, log_epoch });
}
