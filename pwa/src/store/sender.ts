/** Sends what waits here, fetches what is new at the server, and reports how that stands. */
import type { Raw } from "../bench/read.ts";
import { whenOf } from "../bench/server_clock.ts";
import type { RefusalDetail } from "../wire.gen.ts";
import { type Database, isFull } from "./database.ts";
import { readWaiting, type Waiting } from "./outbox.ts";
import { RetryLoop, type World } from "./retry.ts";
import type { Explanation } from "./server_client.ts";
import { type Outcome, roundTrip, type SyncLink } from "./sync.ts";

/**
 * How sync stands, in a word. away: the server does not answer. garbled: what answers cannot be read. refused: the
 * server, or this phone, says why in a sentence.
 */
export type SyncState =
  | "synced"
  | "sending"
  | "away"
  | "garbled"
  | "refused"
  | "unpaired"
  | "page too old"
  | "server too old"
  | "phone full";

/** How sync stands. sentence: the same in words. note: what else to know of the server's records, in a sentence. */
export type SyncView = Waiting & { readonly state: SyncState; readonly sentence: string; readonly note?: string };

const STATES: Readonly<Partial<Record<RefusalDetail["kind"], SyncState>>> = {
  "not-paired": "unpaired",
  revoked: "unpaired",
  "page-too-old": "page too old",
  "server-too-old": "server too old",
};

const SENTENCES = {
  synced: "All is with the server.",
  sending: "Asking the server.",
  away: "The server is away. Everything is kept on this phone.",
  "phone full": "This phone has no room left. Free some of it, and do not close this page until then.",
};

/** Before the server was asked for the first time, with what waits. */
export function beforeAsking(waiting: Waiting): SyncView {
  return { ...waiting, state: "sending", sentence: SENTENCES.sending };
}

/** How sync stands with these waiting too, recorded after `view`. It is never "synced" while something waits. */
export function withWaiting(view: SyncView, raws: readonly Raw[]): SyncView {
  const waiting = view.waiting + raws.length;
  const since = view.since ?? (raws[0] ? whenOf(raws[0]).ms : null);
  if (view.state !== "synced" || waiting === 0) return { ...view, waiting, since };
  return { waiting, since, state: "sending", sentence: SENTENCES.sending };
}

/** Syncs with the server, again and again until it is stopped. */
export class Sender {
  private readonly db: Database;
  private readonly link: SyncLink;
  private readonly tell: (view: SyncView) => void;
  private readonly retry: RetryLoop;
  private waiting: Waiting = { waiting: 0, since: null };

  constructor(db: Database, link: SyncLink, world: World, tell: (view: SyncView) => void) {
    this.db = db;
    this.link = link;
    this.tell = tell;
    this.retry = new RetryLoop(world, async () => (await this.syncAll()) === "synced");
  }

  /** Syncs at once: there is something to send, or to fetch. */
  syncNow(): void {
    this.retry.runNow();
  }

  /** Begins no further round trip: another tab syncs from now on. */
  stop(): void {
    this.retry.stop();
  }

  /** Makes round trips until nothing is left to do, or one fails. Never rejects. */
  private async syncAll(): Promise<SyncState> {
    try {
      await this.show("sending");
      let outcome: Outcome;
      do outcome = await roundTrip(this.db, this.link);
      while (outcome.kind === "done" && outcome.more && !this.retry.isStopped);
      if (outcome.kind === "refused") return await this.show(...refusal(outcome.problem));
      if (outcome.kind === "garbled") return await this.show("garbled", inWords(outcome.problem));
      if (outcome.kind === "away") return await this.show("away");
      return await this.show("synced", outcome.note && `${SENTENCES.synced} ${outcome.note}`, outcome.note);
    } catch (error) {
      return isFull(error) ? this.say("phone full") : this.say("refused", fault(error));
    }
  }

  /** Counts what waits and says how sync stands; rejects when it cannot be counted. */
  private async show(state: SyncState, sentence?: string, note?: string): Promise<SyncState> {
    this.waiting = await readWaiting(this.db);
    const isEarly = state === "synced" && this.retry.isWantedAgain; // another tab has recorded something since
    return isEarly ? this.say("sending") : this.say(state, sentence, note);
  }

  /** Says how sync stands, with what was counted last. */
  private say(state: SyncState, sentence = SENTENCES[state as keyof typeof SENTENCES], note?: string): SyncState {
    this.tell(withWaiting({ ...this.waiting, state, sentence, ...(note && { note }) }, []));
    return state;
  }
}

function refusal(problem: RefusalDetail): [SyncState, string] {
  return [STATES[problem.kind] ?? "refused", inWords(problem)];
}

function inWords({ what, next_step }: Explanation): string {
  return `${what} ${next_step}`;
}

function fault(error: unknown): string {
  return `This phone's store failed (${error instanceof Error ? error.message : error}). Reload the page.`;
}
