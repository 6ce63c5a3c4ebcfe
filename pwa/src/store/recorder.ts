/** Keeps what is recorded, and has it sent: the phone's store, the server and the other tabs together. */

import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import { type Database, isFull } from "./database.ts";
import { keepRecorded } from "./outbox.ts";
import type { World } from "./retry.ts";
import { Sender, type SyncView, withWaiting } from "./sender.ts";
import { listen } from "./server.ts";
import type { Reply, SyncBody } from "./sync.ts";
import { othersOf, Turn } from "./tabs.ts";

/**
 * What the recorder needs of the page.
 *
 * fold: shows what came, from the server or another tab, and tells what its builds come to. summaries: what the
 * builds of these come to now. tell: how sync stands. ask: one round trip.
 */
export type Page = {
  readonly fold: (came: readonly Raw[]) => Promise<readonly BuildSummary[]>;
  readonly summaries: (of: readonly Raw[]) => readonly BuildSummary[];
  readonly tell: (view: SyncView) => void;
  readonly ask: (body: SyncBody, device: string) => Promise<Reply>;
};

const RETRY_MS = 10_000;

export class Recorder {
  private readonly db: Database;
  private readonly page: Page;
  private readonly world: World;
  private readonly tellOthers = othersOf((word) => {
    if (word.kind === "poke") this.sender?.poke();
    else if (word.kind === "syncing") this.tell(word.view);
    else void this.page.fold(word.raws);
    if (word.kind === "recorded") this.tell(withWaiting(this.view, word.raws));
  });
  private readonly turn = new Turn(() => this.talk());
  private sender: Sender | null = null;
  private unkept: readonly Raw[] = [];
  private keeping = false;
  private failed = false;
  private view: SyncView = { waiting: 0, since: null, state: "synced", sentence: "" };

  constructor(db: Database, page: Page, world: World) {
    this.db = db;
    this.page = page;
    this.world = world;
  }

  /** This tab is looked at: it talks to the server from now on, and at once. */
  wake(): void {
    this.turn.claim();
    this.sender?.poke();
  }

  /**
   * Writes down what was recorded; done when the disk has it, or when trouble was told. Never rejects.
   *
   * Tells the page before the first await that it waits: the page never says "synced" of what the server lacks.
   */
  async keep(raw: Raw): Promise<void> {
    this.unkept = [...this.unkept, raw];
    this.tell(this.view);
    await this.keepAll();
  }

  /** There is something to fetch. */
  poke(): void {
    if (this.sender) this.sender.poke();
    else this.tellOthers({ kind: "poke" });
  }

  /** All that is not written down yet, in one; again a little later when the phone is full. */
  private async keepAll(): Promise<void> {
    if (this.keeping || this.unkept.length === 0) return;
    this.keeping = true;
    try {
      const now = this.unkept;
      const raws = await keepRecorded(this.db, now, this.page.summaries(now));
      this.unkept = this.unkept.slice(now.length);
      this.view = withWaiting(this.view, raws); // until the sender has counted them
      this.failed = false;
      this.tellOthers({ kind: "recorded", raws });
      this.poke();
    } catch (error) {
      this.trouble(error);
      this.world.after(RETRY_MS, () => void this.keepAll());
      return;
    } finally {
      this.keeping = false;
    }
    await this.keepAll();
  }

  /** Begins to talk to the server; gives what ends it. */
  private talk(): () => void {
    let position = 0;
    const way = {
      ask: async (body: SyncBody, device: string) => {
        const reply = await this.page.ask(body, device);
        if (reply && "answer" in reply) position = reply.answer.position;
        return reply;
      },
      fold: async (came: readonly Raw[]) => {
        const summaries = await this.page.fold(came);
        if (came.length) this.tellOthers({ kind: "came", raws: came });
        return summaries;
      },
    };
    const sender = new Sender(this.db, way, this.world, (view) => {
      this.tell(view);
      this.tellOthers({ kind: "syncing", view });
    });
    const hangUp = listen((newest) => {
      if (newest !== position) sender.poke();
    });
    this.sender = sender;
    sender.poke();
    return () => {
      this.sender = null;
      sender.stop();
      hangUp();
    };
  }

  /** Adds what the disk does not have yet. That something is in memory alone goes before all else that could be said. */
  private tell(view: SyncView): void {
    this.view = view;
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
