/** Several tabs on one phone: one of them talks to the server, all of them show the same. */
import type { Raw } from "../bench/read.ts";
import type { SyncView } from "./sender.ts";

/** What tabs tell each other. recorded: kept by the tab it was recorded in. poke: there is something to send. */
export type Word =
  | { readonly kind: "recorded"; readonly raws: readonly Raw[] }
  | { readonly kind: "came"; readonly raws: readonly Raw[] }
  | { readonly kind: "syncing"; readonly view: SyncView }
  | { readonly kind: "poke" };

const NAME = "benchbell";

/** Speaks to the other tabs, and hears them. */
export function othersOf(hear: (word: Word) => void): (word: Word) => void {
  const channel = new BroadcastChannel(NAME);
  channel.addEventListener("message", ({ data }: MessageEvent<Word>) => hear(data));
  return (word) => channel.postMessage(word);
}

/**
 * Holds the turn to talk to the server. The tab a person looks at claims it: a hidden one may be frozen.
 *
 * onTurn: begins to talk, and gives what ends it. Where the browser has no locks, every tab talks; that costs
 * repeats alone.
 */
export class Turn {
  private end: (() => void) | null = null;
  private standing = new AbortController();

  private readonly onTurn: () => () => void;
  private readonly locks: LockManager | undefined;

  constructor(onTurn: () => () => void, locks: LockManager | undefined = globalThis.navigator?.locks) {
    this.onTurn = onTurn;
    this.locks = locks;
  }

  get isMine(): boolean {
    return this.end !== null;
  }

  /** Take the turn from whoever has it. */
  claim(): void {
    if (this.isMine) return;
    this.standing.abort();
    this.standing = new AbortController();
    if (this.locks) this.wait({ steal: true });
    else this.end = this.onTurn();
  }

  /**
   * Have the turn now, or once the tab that has it is gone. When it is taken away, stand in line again; a page that
   * is being left cannot, and would ask without end.
   */
  private wait(options: LockOptions): void {
    const { signal } = this.standing;
    const held = this.locks?.request(NAME, options, () => {
      this.end ??= this.onTurn();
      return new Promise<never>(() => {});
    });
    held?.catch((error: unknown) => {
      if (signal.aborted) return;
      this.end?.();
      this.end = null;
      if (error instanceof DOMException && error.name === "AbortError") this.wait({ signal });
    });
  }
}
