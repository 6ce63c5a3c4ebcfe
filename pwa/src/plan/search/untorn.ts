/** Where breakable work starts so that no closing time leaves a piece of it that is too short. */
import type { CompiledCraft } from "../model/compiled_craft.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { shortPieces } from "../model/craft_faults.ts";
import { bisectLeft, bisectRight, endOf, FAR, type Hours, openMinutes } from "../model/hours.ts";

/**
 * The start of breakable work, or a later one if that costs less than the pieces that are too short.
 *
 * Later by some minutes, so that a longer piece is left for after closing; or after it. i: the operation. setting:
 * minutes of setting up directly before it.
 */
export function untornStart(
  compiled: CompiledProblem,
  craft: CompiledCraft,
  hours: Hours,
  i: number,
  start: number,
  setting: number,
): number {
  const { closings, costs } = craft;
  const end = endOf(hours, start, compiled.minutes[i] as number);
  const closing = closings[bisectRight(closings, start)] as number;
  if (end === FAR || closing >= end) return start;
  const short = shortPieces(craft, hours, start, end);
  if (short === 0) return start;
  const last = closings[bisectLeft(closings, end) - 1] as number;
  const more = costs.least_piece - (openMinutes(hours, end) - openMinutes(hours, last));
  const since = openMinutes(hours, start);
  for (const later of [start + Math.max(0, more), openingAfter(hours, closing) + setting]) {
    const lost = openMinutes(hours, later) - since;
    if (later > start && lost < costs.torn * short && isWhole(compiled, craft, hours, i, later, setting)) return later;
  }
  return start;
}

/** Whether work may start then, with its setting up in the same window, and leaves no piece that is too short. */
function isWhole(
  compiled: CompiledProblem,
  craft: CompiledCraft,
  hours: Hours,
  i: number,
  start: number,
  setting: number,
): boolean {
  const k = bisectRight(hours.opens, start) - 1;
  if (start - setting < (hours.opens[k] as number) || start >= (hours.closes[k] as number)) return false;
  const end = endOf(hours, start, compiled.minutes[i] as number);
  return end < FAR && shortPieces(craft, hours, start, end) === 0;
}

/** When the shop opens after a closing time; FAR after the last one. */
export function openingAfter(hours: Hours, closing: number): number {
  return hours.opens[bisectLeft(hours.opens, closing)] ?? FAR;
}
