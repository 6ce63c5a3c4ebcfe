/** Several tabs on one phone: one of them talks to the server, all of them show the same. */
import type { Raw } from "../bench/read.ts";
import type { SyncView } from "./sender.ts";

/**
 * What tabs send each other. recorded: the sending tab has written it down. came: from the server. sync: there is
 * something to send. alarms: when the server last saw to them.
 */
export type TabMessage =
  | { readonly kind: "recorded"; readonly raws: readonly Raw[] }
  | { readonly kind: "came"; readonly raws: readonly Raw[] }
  | { readonly kind: "syncing"; readonly view: SyncView }
  | { readonly kind: "alarms"; readonly ran: number | null }
  | { readonly kind: "sync" };

const NAME = "benchbell";

/** Calls `onMessage` with what other tabs send; gives what sends to them. */
export function otherTabs(onMessage: (message: TabMessage) => void): (message: TabMessage) => void {
  const channel = new BroadcastChannel(NAME);
  channel.addEventListener("message", ({ data }: MessageEvent<TabMessage>) => onMessage(data));
  return (message) => channel.postMessage(message);
}

/**
 * The turn to talk to the server, which one tab has. The tab that a person looks at claims it: a hidden one may be
 * frozen.
 *
 * onTurn: begins to talk, and gives what ends it. Where the browser has no locks every tab talks, which costs repeats
 * and nothing else.
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

  /** Takes the turn from the tab that has it. */
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
