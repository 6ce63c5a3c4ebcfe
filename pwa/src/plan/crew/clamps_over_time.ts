/** How many clamps are free, over time, while operations are placed that are not in the order of time. */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import { FAR } from "../model/hours.ts";

/** From `at` on there are so many fewer, or more if they are given back. */
type Change = { readonly at: number; readonly counts: Counts; readonly isGiven: boolean };

/** Clamps that are free, with all changes so far. */
export class ClampsOverTime {
  /** By number of kind, after all changes. */
  private readonly free: number[];
  /** In order of time; at one moment, what is taken comes first. */
  private readonly changes: Change[] = [];

  /** free: by number of kind, at the beginning. */
  constructor(free: readonly number[]) {
    this.free = free.slice();
  }

  /** From `at` on there are so many fewer. */
  take(at: number, counts: Counts): void {
    if (counts.length === 0) return;
    take(this.free, counts);
    this.insert({ at, counts, isGiven: false });
  }

  /** From `at` on there are so many more. */
  giveBack(at: number, counts: Counts): void {
    if (counts.length === 0) return;
    giveBack(this.free, counts);
    this.insert({ at, counts, isGiven: true });
  }

  /** The first moment from which so many are free for good, -FAR if always; FAR while they are not given back. */
  freeFrom(takes: Counts): number {
    if (takes.length === 0) return -FAR;
    const left = this.free.slice();
    if (!suffices(left, takes)) return FAR;
    for (let n = this.changes.length - 1; n >= 0; n--) {
      const { at, counts, isGiven } = this.changes[n] as Change;
      if (isGiven) take(left, counts);
      else giveBack(left, counts);
      if (!suffices(left, takes)) return at;
    }
    return -FAR;
  }

  private insert(change: Change): void {
    let place = this.changes.length;
    this.changes.push(change);
    for (; place > 0; place--) {
      const before = this.changes[place - 1] as Change;
      if (before.at < change.at || (before.at === change.at && (change.isGiven || !before.isGiven))) break;
      this.changes[place] = before;
    }
    this.changes[place] = change;
  }
}
