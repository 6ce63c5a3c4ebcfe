/**
 * How long what is left of an operation takes: by its parts, and by the time that hands have been at it already.
 *
 * Twin of plan/tasks/minutes.py, where the reasons stand.
 */
import type { Operation, OperationState } from "../../wire.gen.ts";
import { settingMinutes } from "./stations.ts";

/** How many of so many minutes have been open in the shop between a moment, server time in ms, and now. */
export type Gone = (since: number, most: number) => number;

/** Minutes that work in hand still takes, however long it has been in hand. Common practice, no source. */
const STILL = 5;

/** For a shop in which nothing is in hand, or in which nobody knows for how long. */
export function noneGone(): number {
  return 0;
}

/** Attended minutes left, without setting up, in proportion to the parts that are not done yet; at least 1. */
export function minutesLeft(op: Operation, { status, marks, left }: OperationState, gone: Gone = noneGone): number {
  const inHand = status === "in-hand";
  const work = inHand && !op.setup ? op.minutes : op.minutes - settingMinutes(op);
  const parts = Math.max(1, op.parts.length);
  const minutes = (work * (op.parts.length ? left.length : parts)) / parts;
  if (!inHand) return Math.max(1, Math.ceil(minutes));
  const underWay = "ticked" in marks ? work / parts : minutes;
  const since = Math.max(marks.ticked ?? 0, Math.min(...Object.values(marks)));
  const done = gone(since, Math.ceil(underWay));
  return Math.max(1, Math.ceil(Math.max(Math.min(minutes, STILL), minutes - done)));
}
