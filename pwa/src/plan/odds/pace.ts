/**
 * A shop's pace: how long work takes there beside the recipe's minutes, as the server has learned it.
 *
 * The logarithm of real over planned minutes is a sum: the shop's own level, an effect of the kind of operation, one of
 * the person, one that all operations of a build share, and chance.
 */
import type { Pace } from "../../wire.gen.ts";

/** A level of a factor, such as ["kind", "table-saw"]; the shop's own level is SHOP. */
export type Effect = readonly [factor: string, name: string];

/** The shop's own level. */
export const SHOP: Effect = ["shop", ""];

/** The logarithm of real over planned minutes as it is expected of such an operation of the build. */
export function expectedLog(pace: Pace, build: string, kind: string): number {
  const worker = workerOf(pace, build);
  let ofPeople = 0;
  let count = 0;
  for (const [name, timed] of worker === undefined ? pace.people : ([[worker, 1]] as const)) {
    ofPeople += meanOf(pace, ["person", name]) * timed;
    count += timed;
  }
  const own = meanOf(pace, SHOP) + meanOf(pace, ["kind", kind]) + meanOf(pace, ["build", build]);
  return own + ofPeople / Math.max(1, count);
}

/** What was learned of an effect; 0 of one that nobody has met. */
function meanOf(pace: Pace, effect: Effect): number {
  const place = placeOf(pace, effect);
  return place === undefined ? 0 : (pace.mean[place] as number);
}

/** An effect's place in mean and covariance; undefined of one that nobody has met. */
export function placeOf(pace: Pace, [factor, name]: Effect): number | undefined {
  return own(pace.place[factor] ?? {}, name);
}

/** Who did the last of the build that was timed; undefined where nobody knows. */
export function workerOf(pace: Pace, build: string): string | undefined {
  return own(pace.workers, build);
}

/** What stands under a free name, which may be one that every object knows, such as "constructor". */
function own<Value>(named: Readonly<Record<string, Value>>, name: string): Value | undefined {
  return Object.hasOwn(named, name) ? named[name] : undefined;
}
