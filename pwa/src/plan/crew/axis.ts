/**
 * Open minutes in a row: position 0 is the first of them, and closed time has no position.
 *
 * The position of a moment is how many open minutes lie before it, as `openMinutes` has it.
 */
import { bisectRight, earliestStart, FAR, type Hours, openMinutes } from "../model/hours.ts";

/** When work is taken up, setting up included, and when it is done; both FAR for never. */
export type Span = readonly [takenUp: number, end: number];

const NEVER: Span = [FAR, FAR];

/** The moment at which the open minute at this position begins; FAR beyond all hours. */
export function timeAt(hours: Hours, position: number): number {
  const k = bisectRight(hours.worked, position) - 1;
  const open = hours.opens[k];
  return open === undefined ? FAR : open + position - (hours.worked[k] as number);
}

/** When pairs of hands that are alike are busy. */
export class Team {
  /** When they are there. */
  readonly hours: Hours;
  private readonly hands: number;
  /** By position, how many pairs are busy. */
  private readonly busy: Uint8Array;

  /** hands: how many pairs, at least 1. */
  constructor(hours: Hours, hands: number) {
    this.hours = hours;
    this.hands = hands;
    this.busy = new Uint8Array(hours.worked.at(-1) as number);
  }

  /**
   * When work that lasts so many minutes is taken up, not before `earliest`, and when it is done.
   *
   * together: how many of its minutes, the first ones, must lie in one window. Work of no length needs no free hand.
   */
  when(earliest: number, together: number, minutes: number): Span {
    if (minutes === 0) {
      const at = earliestStart(this.hours, earliest, 0, false);
      return [at, at];
    }
    const position = this.freeFrom(openMinutes(this.hours, earliest), together, minutes);
    if (position === FAR) return NEVER;
    return [timeAt(this.hours, position), timeAt(this.hours, position + minutes - 1) + 1];
  }

  /** One more pair of hands is busy for so many open minutes from the moment at which it takes something up. */
  reserve(takenUp: number, minutes: number): void {
    const from = openMinutes(this.hours, takenUp);
    for (let at = from; at < from + minutes; at++) this.busy[at] = (this.busy[at] as number) + 1;
  }

  /**
   * The first position, not before `position`, from which one pair of hands is free for so many minutes; FAR if none.
   *
   * together: how many of these minutes, the first ones, must lie in one window. A place is checked from its last minute
   * back, so that one busy minute rules out every start before it.
   */
  private freeFrom(position: number, together: number, minutes: number): number {
    const { busy, hands } = this;
    let known = position; // all minutes from `begin` to here are known to be free
    let begin = this.fitting(position, together);
    while (begin + minutes <= busy.length) {
      const from = Math.max(begin, known);
      let at = begin + minutes - 1;
      while (at >= from && (busy[at] as number) < hands) at -= 1;
      if (at < from) return begin;
      known = begin + minutes;
      begin = this.fitting(at + 1, together);
    }
    return FAR;
  }

  /** The first position, not before `position`, from which so many minutes, at least one, lie in one window; or FAR. */
  private fitting(position: number, minutes: number): number {
    const { worked, opens } = this.hours;
    for (let k = Math.max(0, bisectRight(worked, position) - 1); k < opens.length; k++) {
      const begin = Math.max(position, worked[k] as number);
      if (begin + minutes <= (worked[k + 1] as number)) return begin;
    }
    return FAR;
  }
}
