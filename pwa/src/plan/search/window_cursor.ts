/** Time going forward through working hours. */
import { endOf, FAR, type Hours } from "../model/hours.ts";

/** The window of hours in which time stands. open, close: its beginning and end; FAR without any. */
export class WindowCursor {
  private readonly hours: Hours;
  /** The number of the window. */
  window = 0;
  readonly open: number;
  close: number;

  constructor(hours: Hours) {
    this.hours = hours;
    this.open = hours.opens[0] ?? FAR;
    this.close = hours.closes[0] ?? FAR;
  }

  /** Make the window of this number the current one. */
  goTo(window: number): void {
    const close = this.hours.closes[window];
    if (close === undefined) return;
    this.window = window;
    this.close = close;
  }

  /** The moment to go on at: `until`, or the next opening if the window closes before; FAR after the last one. */
  wait(until: number): number {
    if (until < this.close) return until;
    this.window += 1;
    const open = this.hours.opens[this.window];
    if (open === undefined) return FAR;
    this.close = this.hours.closes[this.window] as number;
    return open;
  }

  /** The end of breakable work that goes on in later windows, the last of which is then current; or FAR. */
  interruptedEnd(start: number, minutes: number): number {
    const { closes } = this.hours;
    const end = endOf(this.hours, start, minutes);
    if (end < FAR) {
      while ((closes[this.window] as number) < end) this.window += 1;
      this.close = closes[this.window] as number;
    }
    return end;
  }
}
