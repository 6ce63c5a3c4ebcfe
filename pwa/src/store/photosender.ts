/** Has the server take photos, one at a time, the first taken first; what it has not taken stays for the next try. */
import type { RefusalDetail } from "../wire.gen.ts";
import type { Database, KeptPhoto } from "./database.ts";
import { markSent, photoHere, unsentIn } from "./photos.ts";
import { RetryLoop, type World } from "./retry.ts";

/** waiting: photos on this phone alone. sentence: why the server does not take one; "" where nothing is wrong. */
export type PhotosView = { readonly waiting: number; readonly sentence: string };

/** Gives one to the server: what it says against it, "taken", or null when it cannot be reached. */
export type Give = (photo: KeptPhoto, picture: Blob) => Promise<"taken" | RefusalDetail | null>;

/** Does `work`, unless another tab is at it. */
export type Alone = (work: () => Promise<void>) => Promise<void>;

export class PhotoSender {
  private readonly db: Database;
  private readonly give: Give;
  private readonly alone: Alone;
  private readonly tell: (view: PhotosView) => void;
  private readonly retry: RetryLoop;
  private waiting = 0;

  constructor(db: Database, give: Give, alone: Alone, world: World, tell: (view: PhotosView) => void) {
    this.db = db;
    this.give = give;
    this.alone = alone;
    this.tell = tell;
    this.retry = new RetryLoop(world, () => this.sendAll());
  }

  /** There may be one to send. */
  poke(): void {
    this.retry.poke();
  }

  stop(): void {
    this.retry.stop();
  }

  /** Whether none is left. One that is refused does not keep the others back. */
  private async sendAll(): Promise<boolean> {
    try {
      let sentence = "";
      const unsent = await this.show(sentence);
      if (unsent.length === 0) return true;
      await this.alone(async () => {
        for (const photo of unsent) {
          const said = await this.send(photo);
          if (said === null || this.retry.isStopped) return;
          if (said !== "taken") sentence = `${said.what} ${said.next_step}`;
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

  private async send(photo: KeptPhoto): Promise<"taken" | RefusalDetail | null> {
    const picture = await photoHere(this.db, photo.sha256);
    const said = picture ? await this.give(photo, picture) : "taken";
    if (said === "taken") await markSent(this.db, photo.sha256);
    return said;
  }

  private async show(sentence: string): Promise<readonly KeptPhoto[]> {
    const unsent = await unsentIn(this.db);
    this.waiting = unsent.length;
    this.tell({ waiting: this.waiting, sentence });
    return unsent;
  }
}
