/** Work that is repeated: at once when there is a reason, again later when it failed. One run at a time. */

import { MINUTE_MS, SECOND_MS } from "../durations.ts";

/** Time and chance. after: does `work` after so many ms, unless what it gives is called. random: 0 up to 1. */
export type World = {
  readonly after: (ms: number, work: () => void) => () => void;
  readonly random: () => number;
};

const FIRST_WAIT_MS = SECOND_MS;
const LONGEST_WAIT_MS = MINUTE_MS;

/** How long to wait, ms: half to all of a wait that doubles with each failure; a minute where all is well. */
export function pauseAfter(failures: number, random: number): number {
  const longest = Math.min(FIRST_WAIT_MS * 2 ** (failures - 1), LONGEST_WAIT_MS);
  return failures ? longest * (0.5 + random / 2) : LONGEST_WAIT_MS;
}

/** Runs work whenever `runNow` is called, and again after a pause. */
export class RetryLoop {
  private busy = false;
  private again = false;
  private failures = 0;
  private stopped = false;
  private cancel = () => {};

  private readonly world: World;
  private readonly work: () => Promise<boolean>;

  /** work: resolves to whether all is well; must never reject. */
  constructor(world: World, work: () => Promise<boolean>) {
    this.world = world;
    this.work = work;
  }

  get isStopped(): boolean {
    return this.stopped;
  }

  /** Whether the work is to be done once more after the run that is under way. */
  get isWantedAgain(): boolean {
    return this.again;
  }

  /** Runs the work at once, or once more after the run that is under way. */
  runNow(): void {
    if (this.stopped) return;
    if (this.busy) {
      this.again = true;
      return;
    }
    this.cancel();
    void this.run();
  }

  /** Begins no further run. */
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
      this.cancel = this.world.after(pauseAfter(this.failures, this.world.random()), () => this.runNow());
  }
}
