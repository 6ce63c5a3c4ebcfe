/** Writes down what is recorded and syncs it: the phone's store, the server and the other tabs together. */

import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import type { SyncAnswer } from "../wire.gen.ts";
import { type Database, isFull } from "./database.ts";
import { keepRecorded, readWaiting } from "./outbox.ts";
import type { World } from "./retry.ts";
import { beforeAsking, Sender, type SyncView, withWaiting } from "./sender.ts";
import { listen, type Reply } from "./server_client.ts";
import type { SyncBody } from "./sync.ts";
import { otherTabs, Turn } from "./tabs.ts";

/**
 * What the recorder needs of the page.
 *
 * fold: shows what came from the server or another tab; gives the summaries of the builds it touched. summaries: those
 * of the builds that these are about. tell: shows how sync stands. noteAlarms: takes in when the server last saw to its
 * alarms, null for never. ask: one round trip; never rejects.
 */
export type Page = {
  readonly fold: (came: readonly Raw[]) => Promise<readonly BuildSummary[]>;
  readonly summaries: (of: readonly Raw[]) => readonly BuildSummary[];
  readonly tell: (view: SyncView) => void;
  readonly noteAlarms: (ran: number | null) => void;
  readonly ask: (body: SyncBody, device: string) => Promise<Reply<SyncAnswer>>;
};

const RETRY_MS = 10_000;

/** Writes down and syncs what one tab records. */
export class Recorder {
  private readonly db: Database;
  private readonly page: Page;
  private readonly world: World;
  private readonly tellOthers = otherTabs((word) => {
    if (word.kind === "sync") this.sender?.syncNow();
    else if (word.kind === "alarms") this.page.noteAlarms(word.ran);
    else if (word.kind === "syncing") void this.hear(word.view);
    else void this.page.fold(word.raws);
    if (word.kind !== "recorded") return;
    this.remember(word.raws);
    this.tell(withWaiting(this.view, word.raws));
  });
  private readonly turn = new Turn(() => this.talk());
  private sender: Sender | null = null;
  private unkept: readonly Raw[] = [];
  private kept = new Map<string, Raw>();
  private keeping = false;
  private failed = false;
  private heard = 0;
  private view: SyncView;

  /** outbox: what waits on the phone's disk as the page opens. */
  constructor(db: Database, page: Page, world: World, outbox: readonly Raw[]) {
    this.db = db;
    this.page = page;
    this.world = world;
    this.remember(outbox);
    this.view = beforeAsking({ waiting: outbox.length, since: outbox[0]?.at.ms ?? null });
    this.tell(this.view);
  }

  /** What this page knows to be written down here and perhaps not with the server yet, with its numbers. */
  get unsent(): readonly Raw[] {
    return [...this.kept.values()];
  }

  private remember(raws: readonly Raw[]): void {
    for (const raw of raws) this.kept.set(raw.id, raw);
  }

  /** A person looks at this tab: it syncs from now on, and at once. */
  wake(): void {
    this.turn.claim();
    this.sender?.syncNow();
  }

  /**
   * Writes down what was recorded; resolves when the disk has it, or when a failure was shown. Never rejects.
   *
   * Shows before the first await that it waits: the page never says "synced" of what the server lacks.
   */
  async keep(raw: Raw): Promise<void> {
    this.unkept = [...this.unkept, raw];
    this.tell(this.view);
    await this.keepAll();
  }

  /** Syncs at once, in whichever tab has the turn. */
  syncNow(): void {
    if (this.sender) this.sender.syncNow();
    else this.tellOthers({ kind: "sync" });
  }

  /** Writes down all that waits for it, in one transaction; again after a while when it fails. Never rejects. */
  async keepAll(): Promise<void> {
    if (this.keeping || this.unkept.length === 0) return;
    this.keeping = true;
    try {
      const now = this.unkept;
      const raws = await keepRecorded(this.db, now, this.page.summaries(now));
      this.unkept = this.unkept.slice(now.length);
      this.remember(raws);
      this.view = withWaiting(this.view, raws); // until the sender has counted them
      this.failed = false;
      this.tellOthers({ kind: "recorded", raws });
      this.syncNow();
    } catch (error) {
      this.trouble(error);
      this.world.after(RETRY_MS, () => void this.keepAll());
      return;
    } finally {
      this.keeping = false;
    }
    await this.keepAll();
  }

  /** Begins to sync; gives what ends it. */
  private talk(): () => void {
    let position = 0;
    const noteAlarms = (ran: number | null) => {
      this.page.noteAlarms(ran);
      this.tellOthers({ kind: "alarms", ran });
    };
    const link = {
      offered: new Set<string>(),
      ask: async (body: SyncBody, device: string) => {
        const reply = await this.page.ask(body, device);
        if (reply.kind !== "ok") return reply;
        position = reply.value.position;
        noteAlarms(reply.value.alarms_ran);
        return reply;
      },
      fold: async (came: readonly Raw[]) => {
        const summaries = await this.page.fold(came);
        if (came.length) this.tellOthers({ kind: "came", raws: came });
        return summaries;
      },
    };
    const sender = new Sender(this.db, link, this.world, (view) => {
      this.tell(view);
      this.tellOthers({ kind: "syncing", view });
    });
    const hangUp = listen({
      onNudge: (newest) => void (newest !== position && sender.syncNow()),
      onAlarms: noteAlarms,
      onBreak: () => sender.syncNow(),
    });
    this.sender = sender;
    sender.syncNow();
    return () => {
      this.sender = null;
      sender.stop();
      hangUp();
    };
  }

  /**
   * Shows how sync stands by the word of the tab that syncs, with what waits counted here: when that tab counted, it
   * may not have known yet what this one has recorded.
   */
  private async hear(view: SyncView): Promise<void> {
    const heard = ++this.heard;
    const waiting = await readWaiting(this.db).catch(() => null);
    if (waiting && heard === this.heard && !this.sender) this.tell(withWaiting({ ...view, ...waiting }, []));
  }

  /** Shows how sync stands, with what is in memory alone; unless a failure to write is shown: that matters more. */
  private tell(view: SyncView): void {
    this.view = view;
    if (view.state === "synced") this.kept.clear();
    if (!this.failed) this.page.tell(withWaiting(view, this.unkept));
  }

  private trouble(error: unknown): void {
    this.failed = true;
    const why = isFull(error) ? "This phone has no room left" : `This phone's store failed (${reason(error)})`;
    const count = this.unkept.length === 1 ? "1 thing is" : `${this.unkept.length} things are`;
    this.page.tell({
      ...withWaiting(this.view, this.unkept),
      state: isFull(error) ? "phone full" : "refused",
      sentence: `${why}: ${count} in memory alone. Free some room, and leave this page open: it tries again.`,
    });
  }
}

function reason(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
