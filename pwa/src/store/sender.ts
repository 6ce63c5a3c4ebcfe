/** When to ask the server: at once when there is a reason, again later when it was away. One at a time. */
import type { Problem } from "../wire.gen.ts";
import { type Database, isFull } from "./database.ts";
import { type Waiting, waitingIn } from "./outbox.ts";
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

/** Time and chance. after: does `work` later, unless the answer is called. chance: 0 up to 1. */
export type World = {
  readonly after: (ms: number, work: () => void) => () => void;
  readonly chance: () => number;
};

const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 60_000;

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

export class Sender {
  private busy = false;
  private again = false;
  private failures = 0;
  private stopped = false;
  private cancel = () => {};

  private readonly db: Database;
  private readonly way: Way;
  private readonly world: World;
  private readonly tell: (view: SyncView) => void;

  constructor(db: Database, way: Way, world: World, tell: (view: SyncView) => void) {
    this.db = db;
    this.way = way;
    this.world = world;
    this.tell = tell;
  }

  /** There is something to send, or to fetch. */
  poke(): void {
    if (this.stopped) return;
    if (this.busy) {
      this.again = true;
      return;
    }
    this.cancel();
    void this.run();
  }

  /** Another tab does it from now on. */
  stop(): void {
    this.stopped = true;
    this.cancel();
  }

  /** Until nothing is left to do, or something stands in the way. Never rejects. */
  private async run(): Promise<void> {
    this.busy = true;
    this.again = false;
    const state = await this.untilDone();
    this.busy = false;
    if (this.again) return this.run();
    this.failures = state === "synced" ? 0 : this.failures + 1;
    if (!this.stopped) this.cancel = this.world.after(this.pause(), () => this.poke());
  }

  private async untilDone(): Promise<SyncState> {
    try {
      await this.show("sending");
      let outcome: Outcome;
      do outcome = await roundTrip(this.db, this.way);
      while (outcome.kind === "done" && outcome.more && !this.stopped);
      if (outcome.kind === "refused") return await this.show(...refusal(outcome.problem));
      return await this.show(outcome.kind === "away" ? "away" : "synced");
    } catch (error) {
      return isFull(error) ? this.show("phone full") : this.show("refused", fault(error));
    }
  }

  /** Half to all of a wait that doubles with each failure; a minute where all is well. */
  private pause(): number {
    const longest = Math.min(FIRST_WAIT_MS * 2 ** (this.failures - 1), LONGEST_WAIT_MS);
    return this.failures ? longest * (0.5 + this.world.chance() / 2) : LONGEST_WAIT_MS;
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
