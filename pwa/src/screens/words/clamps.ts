/** Clamps that are out, in words. */
import type { ClampCount, ClampsOut, ClampsShort } from "../../bench/clamps.ts";
import { clockTime } from "../../moments.ts";
import { begun, counted, fullTitle } from "./names.ts";

/** "Parallel jaw clamps". */
export function clampsOf(kind: string): string {
  return begun(`${kind} clamps`);
}

/** "6 of 6 out, next free 18:16". */
export function outSentence({ have, out, next }: ClampCount, now: number): string {
  const free = next === null ? "" : next <= now ? ", the next may come off now" : `, next free ${clockTime(next, now)}`;
  return `${Math.min(out, have)} of ${have} out${free}`;
}

/** "It takes 4 parallel jaw clamps, and 2 of 6 are free." */
export function shortSentence({ kind, wanted, have, out }: ClampsShort): string {
  const free = Math.max(0, have - out);
  return `It takes ${counted(wanted, `${kind} clamp`)}, and ${free} of ${have} ${free === 1 ? "is" : "are"} free.`;
}

/** When enough come back: "Enough at 18:16." "" where the shop never has as many. */
export function enoughSentence({ by }: ClampsShort, now: number): string {
  if (!by) return "";
  if (by.back === null) return `Enough when “${by.op.title}” is out of them.`;
  return by.back <= now ? "Enough when those that may come off are off." : `Enough at ${clockTime(by.back, now)}.`;
}

/** What has some of them, and until when: "2, until 18:16". */
export function heldSentence({ count, back }: ClampsOut, now: number): string {
  if (back === null) return `${count}, not clamped yet`;
  return back <= now ? `${count}, may come off now` : `${count}, until ${clockTime(back, now)}`;
}

/** "Glue the carcase, piece A, of Cabinets". several: whether more than one build is open. */
export function holderTitle({ build, op }: ClampsOut, several: boolean): string {
  return fullTitle(build.sheet, op.id) + (several && build.name ? `, of ${build.name}` : "");
}
