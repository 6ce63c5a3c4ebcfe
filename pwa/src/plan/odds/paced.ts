/**
 * A problem with the minutes that work is expected to take in this shop, in place of the recipe's.
 *
 * A plan that is made with too few minutes is late from its first hour, and changes every time that it is.
 */
import type { Op, Pace, Problem, Station } from "../../wire.gen.ts";
import type { Task } from "../tasks/task.ts";
import { expectedLog } from "./pace.ts";
import { kindOf } from "./timings.ts";

/** With fewer timed operations the recipe's minutes stay as they are written. */
const ENOUGH = 5;

/** Times the recipe's minutes, or parts of them, that a plan counts with. */
const MOST = 2;

/**
 * The problem at the shop's pace, as far as it is known. tasks: by the problem's operations.
 *
 * What fits into a day as the recipe has it, with any setup before it, still does.
 */
export function atPace(problem: Problem, tasks: ReadonlyMap<string, Task>, pace: Pace): Problem {
  if (pace.timed < ENOUGH) return problem;
  const longest = Math.max(0, ...problem.windows.map(({ start, end }) => end - start));
  const setting = new Map(problem.stations.map((station) => [station.id, longestSetting(station)]));
  const paced = (op: Op): Op => {
    const { build, operation, act } = tasks.get(op.id) as Task;
    const ratio = Math.exp(expectedLog(pace, build, kindOf(operation, act)));
    const minutes = Math.ceil(op.minutes * Math.min(MOST, Math.max(1 / MOST, ratio)));
    const room = longest - (setting.get(op.station) ?? 0);
    return { ...op, minutes: op.breakable ? minutes : Math.min(minutes, Math.max(op.minutes, room)) };
  };
  return { ...problem, ops: problem.ops.map(paced) };
}

/** The most minutes that any setup of the station takes. */
function longestSetting(station: Station): number {
  return Math.max(0, ...Object.values(station.minutes).flatMap((row) => Object.values(row)));
}
