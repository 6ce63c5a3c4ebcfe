/** Something to be done over and over: at once when there is a reason, again later when it failed. One at a time. */
import { MINUTE_MS } from "../durations.ts";

/** Time and chance. after: does `work` later, unless the answer is called. chance: 0 up to 1. */
export type World = {
  readonly after: (ms: number, work: () => void) => () => void;
  readonly chance: () => number;
};

const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = MINUTE_MS;

/** Half to all of a wait that doubles with each failure; a minute where all is well. chance: 0 up to 1. */
export function pauseAfter(failures: number, chance: number): number {
  const longest = Math.min(FIRST_WAIT_MS * 2 ** (failures - 1), LONGEST_WAIT_MS);
  return failures ? longest * (0.5 + chance / 2) : LONGEST_WAIT_MS;
}

export class RetryLoop {
  private busy = false;
  private again = false;
  private failures = 0;
  private stopped = false;
  private cancel = () => {};

  private readonly world: World;
  private readonly work: () => Promise<boolean>;

  /** work: says whether all is well; never rejects. */
  constructor(world: World, work: () => Promise<boolean>) {
    this.world = world;
    this.work = work;
  }

  get isStopped(): boolean {
    return this.stopped;
  }

  /** There is something to do. */
  poke(): void {
    if (this.stopped) return;
    if (this.busy) {
      this.again = true;
      return;
    }
    this.cancel();
    void this.run();
  }

  /** Nothing more is begun. */
  stop(): void {
    this.stopped = true;
    this.cancel();
  }

  private async run(): Promise<void> {
    this.busy = true;
    this.again = false;
    const isWell = await this.work();
    this.busy = false;
    if (this.again) return this.run();
    this.failures = isWell ? 0 : this.failures + 1;
    if (!this.stopped)
      this.cancel = this.world.after(pauseAfter(this.failures, this.world.chance()), () => this.poke());
  }
}
