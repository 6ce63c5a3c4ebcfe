/** Pairs of hands in turn: whoever is free first is asked first. */
import { FAR, type Hours } from "../model/hours.ts";
import type { Crew } from "./crew.ts";

const NO_STATIONS: ReadonlySet<number> = new Set();

/**
 * One pair of hands. unable: stations that it may not use. free: since when it is free.
 *
 * window: number of the window of its hours in which that is.
 */
type Pair = {
  readonly hours: Hours;
  readonly unable: ReadonlySet<number>;
  readonly number: number;
  free: number;
  window: number;
};

/** All pairs of a crew; of those that are free at the same time, the least number comes first. */
export class PairsInTurn {
  readonly count: number;
  private readonly inOrder: Pair[];

  constructor({ compiled, hands, people }: Crew) {
    const alike = Array.from({ length: hands }, () => ({ hours: compiled.hours, unable: NO_STATIONS }));
    const pairs = (people.length > 0 ? people : alike).map(({ hours, unable }, number): Pair => {
      return { hours, unable, number, free: hours.opens[0] ?? FAR, window: 0 };
    });
    this.inOrder = pairs.sort((a, b) => a.free - b.free);
    this.count = pairs.length;
  }

  /** The pair that is free first. */
  get next(): Pair {
    return this.inOrder[0] as Pair;
  }

  /** The next pair is busy until then, in the window of its hours to which it has come. */
  occupy(until: number): void {
    this.next.free = until;
    this.moveBack();
  }

  /** The next pair waits until it may find something: until `event`, until another one is free, or its next window. */
  passOver(event: number): void {
    const pair = this.next;
    const { opens, closes } = pair.hours;
    let soonest = event;
    for (const { free } of this.inOrder) if (free > pair.free && free < soonest) soonest = free;
    const after = Math.max(pair.free + 1, soonest);
    if (after < (closes[pair.window] as number)) {
      pair.free = after;
    } else {
      pair.window += 1;
      pair.free = opens[pair.window] ?? FAR;
    }
    this.moveBack();
  }

  /** Put the first pair where it belongs among the others. */
  private moveBack(): void {
    const { inOrder } = this;
    const pair = this.next;
    let place = 0;
    for (; place + 1 < inOrder.length; place++) {
      const other = inOrder[place + 1] as Pair;
      if (pair.free < other.free || (pair.free === other.free && pair.number < other.number)) break;
      inOrder[place] = other;
    }
    inOrder[place] = pair;
  }
}
