/** Sends photos to the server one at a time, in the order they were taken; what it did not take waits for the next try. */
import type { Database, KeptPhoto } from "./database.ts";
import { markSent, readPhoto, readUnsent } from "./photos.ts";
import { RetryLoop, type World } from "./retry.ts";
import type { Reply } from "./server_client.ts";

/** waiting: photos that no server has. sentence: why the server does not take one; "" where nothing is wrong. */
export type PhotosView = { readonly waiting: number; readonly sentence: string };

/** Sends one photo to the server; ok once it is on the server's disk. Never rejects. */
export type Send = (photo: KeptPhoto, picture: Blob) => Promise<Reply<null>>;

/** Does `work`, unless another tab is doing it. */
export type Alone = (work: () => Promise<void>) => Promise<void>;

/** Sends this phone's photos, again and again until it is stopped. */
export class PhotoSender {
  private readonly db: Database;
  private readonly sendOne: Send;
  private readonly alone: Alone;
  private readonly tell: (view: PhotosView) => void;
  private readonly retry: RetryLoop;
  private waiting = 0;

  constructor(db: Database, send: Send, alone: Alone, world: World, tell: (view: PhotosView) => void) {
    this.db = db;
    this.sendOne = send;
    this.alone = alone;
    this.tell = tell;
    this.retry = new RetryLoop(world, () => this.sendAll());
  }

  /** Sends at once what waits. */
  sendNow(): void {
    this.retry.runNow();
  }

  /** Begins to send no further photo. */
  stop(): void {
    this.retry.stop();
  }

  /** Sends all that waits; resolves to whether none is left. One that is refused does not hold up the others. */
  private async sendAll(): Promise<boolean> {
    try {
      let sentence = "";
      const unsent = await this.show(sentence);
      if (unsent.length === 0) return true;
      await this.alone(async () => {
        for (const photo of unsent) {
          const reply = await this.send(photo);
          if (reply.kind === "away" || reply.kind === "garbled" || this.retry.isStopped) return;
          if (reply.kind === "refused") sentence = `${reply.problem.what} ${reply.problem.next_step}`;
          await this.show(sentence);
        }
      });
      return (await this.show(sentence)).length === 0;
    } catch (error) {
      const why = error instanceof Error ? error.message : error;
      this.tell({ waiting: this.waiting, sentence: `This phone's store failed (${why}). Reload the page.` });
      return false;
    }
  }

  private async send(photo: KeptPhoto): Promise<Reply<null>> {
    const picture = await readPhoto(this.db, photo.sha256);
    const reply: Reply<null> = picture ? await this.sendOne(photo, picture) : { kind: "ok", value: null };
    if (reply.kind === "ok") await markSent(this.db, photo.sha256);
    return reply;
  }

  private async show(sentence: string): Promise<readonly KeptPhoto[]> {
    const unsent = await readUnsent(this.db);
    this.waiting = unsent.length;
    this.tell({ waiting: this.waiting, sentence });
    return unsent;
  }
}
