/** Has the server take what waits, and give what is new there; tells how that stands. */
import type { Raw } from "../bench/read.ts";
import type { Problem } from "../wire.gen.ts";
import { type Database, isFull } from "./database.ts";
import { type Waiting, waitingIn } from "./outbox.ts";
import { RetryLoop, type World } from "./retry.ts";
import { type Outcome, roundTrip, type Way } from "./sync.ts";

export type SyncState =
  | "synced"
  | "sending"
  | "away"
  | "refused"
  | "unpaired"
  | "page too old"
  | "server too old"
  | "phone full";

/** waiting: happenings on this phone alone. since: when the first of them was recorded, server time, ms. */
export type SyncView = Waiting & { readonly state: SyncState; readonly sentence: string };

const STATES: Readonly<Partial<Record<Problem["kind"], SyncState>>> = {
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

/** How sync stands with these waiting too: recorded after `view` was told. Nothing is synced while something waits. */
export function withWaiting(view: SyncView, raws: readonly Raw[]): SyncView {
  const waiting = view.waiting + raws.length;
  const since = view.since ?? raws[0]?.at.ms ?? null;
  if (view.state !== "synced" || waiting === 0) return { ...view, waiting, since };
  return { waiting, since, state: "sending", sentence: SENTENCES.sending };
}

export class Sender {
  private readonly db: Database;
  private readonly way: Way;
  private readonly tell: (view: SyncView) => void;
  private readonly retry: RetryLoop;

  constructor(db: Database, way: Way, world: World, tell: (view: SyncView) => void) {
    this.db = db;
    this.way = way;
    this.tell = tell;
    this.retry = new RetryLoop(world, async () => (await this.untilDone()) === "synced");
  }

  /** There is something to send, or to fetch. */
  poke(): void {
    this.retry.poke();
  }

  /** Another tab does it from now on. */
  stop(): void {
    this.retry.stop();
  }

  /** Until nothing is left to do, or something stands in the way. Never rejects. */
  private async untilDone(): Promise<SyncState> {
    try {
      await this.show("sending");
      let outcome: Outcome;
      do outcome = await roundTrip(this.db, this.way);
      while (outcome.kind === "done" && outcome.more && !this.retry.isStopped);
      if (outcome.kind === "refused") return await this.show(...refusal(outcome.problem));
      return await this.show(outcome.kind === "away" ? "away" : "synced");
    } catch (error) {
      return isFull(error) ? this.show("phone full") : this.show("refused", fault(error));
    }
  }

  private async show(state: SyncState, sentence?: string): Promise<SyncState> {
    const waiting = await waitingIn(this.db).catch(() => ({ waiting: 0, since: null }));
    this.tell({ ...waiting, state, sentence: sentence ?? SENTENCES[state as keyof typeof SENTENCES] });
    return state;
  }
}

function refusal({ kind, what, next_step }: Problem): [SyncState, string] {
  return [STATES[kind] ?? "refused", `${what} ${next_step}`];
}

function fault(error: unknown): string {
  return `This phone's store failed (${error instanceof Error ? error.message : error}). Reload the page.`;
}
