/** The calendar: working hours as sorted lists, and where work fits into them. All times are minutes. */
import type { Window } from "../../wire.gen.ts";
import { NIGHT } from "./problem.ts";

/** Later than any time that occurs; stands for "never". */
export const FAR = 2 ** 40;

/** Window k goes from opens[k] to closes[k]; worked[k] open minutes lie before it, the last of worked in all windows. */
export type Hours = {
  readonly opens: readonly number[];
  readonly closes: readonly number[];
  readonly worked: readonly number[];
};

/** The hours from `start` on; windows that touch or overlap are joined. */
export function hoursOf(windows: readonly Window[], start: number): Hours {
  const opens: number[] = [];
  const closes: number[] = [];
  for (const window of [...windows].sort((a, b) => a.start - b.start)) {
    const begin = Math.max(window.start, start);
    if (begin >= window.end) continue;
    const last = closes.length - 1;
    if (last >= 0 && begin <= (closes[last] as number)) {
      closes[last] = Math.max(closes[last] as number, window.end);
    } else {
      opens.push(begin);
      closes.push(window.end);
    }
  }
  const worked = [0];
  for (const [k, begin] of opens.entries()) worked.push((worked[k] as number) + (closes[k] as number) - begin);
  return { opens, closes, worked };
}

/** The first place in a sorted list whose value is not less than `at`. */
export function bisectLeft(values: readonly number[], at: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((values[middle] as number) < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The first place in a sorted list whose value is greater than `at`. */
export function bisectRight(values: readonly number[], at: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (at < (values[middle] as number)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** How many open minutes lie before `at`. */
export function openMinutes(hours: Hours, at: number): number {
  const k = bisectRight(hours.opens, at) - 1;
  if (k < 0) return 0;
  return (hours.worked[k] as number) + Math.min(at, hours.closes[k] as number) - (hours.opens[k] as number);
}

/** When each day but the first begins, in order. */
export function mornings(hours: Hours): number[] {
  return hours.opens.filter((begin, k) => k > 0 && begin - (hours.closes[k - 1] as number) >= NIGHT);
}

/** The earliest start, not before `at`, of work that lasts so many minutes; FAR when it fits nowhere. */
export function earliestStart(hours: Hours, at: number, minutes: number, breakable: boolean): number {
  const needed = breakable ? 1 : minutes;
  const { opens, closes } = hours;
  for (let k = bisectLeft(closes, at); k < opens.length; k++) {
    const begin = Math.max(at, opens[k] as number);
    if (begin + needed <= (closes[k] as number)) return begin;
  }
  return FAR;
}

/** The end of breakable work that starts at `start`, inside a window; FAR when the hours are too few. */
export function endOf(hours: Hours, start: number, minutes: number): number {
  const { opens, closes } = hours;
  let k = bisectRight(opens, start) - 1;
  let begin = start;
  let left = minutes;
  while (begin + left > (closes[k] as number)) {
    left -= (closes[k] as number) - begin;
    k += 1;
    if (k === opens.length) return FAR;
    begin = opens[k] as number;
  }
  return begin + left;
}

/** The latest start of work that must be done at `by`. All time before the first window counts as open. */
export function latestStart(hours: Hours, by: number, minutes: number, breakable: boolean): number {
  const { opens, closes } = hours;
  let k = bisectLeft(opens, minutes ? by : by + 1) - 1; // work of no length may also end exactly at opening time
  let left = minutes;
  for (; k >= 0; k--) {
    const end = Math.min(by, closes[k] as number);
    const open = opens[k] as number;
    if (end - open >= left) return end - left;
    if (breakable) left -= Math.max(0, end - open);
  }
  return Math.min(by, opens[0] ?? by) - left;
}
