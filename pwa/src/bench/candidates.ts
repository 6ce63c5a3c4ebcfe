/** What could be done now, with all that ranks it. */
import type { Operation, Sheet } from "../wire.gen.ts";
import { keyOf } from "./choice.ts";
import { type BuildClock, heldBy } from "./clocks.ts";
import { reopenedFor } from "./reopened.ts";
import { minutesToSet, type Need, needOf, type OpenBuild, type Stands, settingOf, standsNow } from "./standing.ts";
import { tails } from "./tails.ts";

/**
 * An operation that is ready, and not held by a clock.
 *
 * minutes: attended, with those that set its station unless that stands so. tail: minutes to the end of what hangs on it.
 * place: in its sheet. setup: whether its station is set for it already,
 * or still needed as it is. need: what still needs that. busy: what somebody else has in hand at its station. again: the
 * spoiled parts that are made again, for which it is to be done once more.
 */
export type Candidate = {
  readonly build: OpenBuild;
  readonly op: Operation;
  readonly minutes: number;
  readonly tail: number;
  readonly place: number;
  readonly setup: "stands" | "free" | "breaks";
  readonly need: Need;
  readonly busy: Operation | null;
  readonly again: readonly string[];
};

/** Of a station that stands in nothing. */
const NOTHING: Need = { left: 0, run: 0, next: null };

/** Every candidate of these builds, in order. others: keys of operations that other people have in hand. */
export function candidates(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  now: number,
  others: ReadonlySet<string>,
): readonly Candidate[] {
  const stands = new Map([...standsNow(open)].map(([station, one]) => [station, { ...one, ...needOf(open, one) }]));
  const theirs = open.flatMap(({ id: build, sheet }) =>
    sheet.operations.filter(({ id: operation }) => others.has(keyOf({ build, operation }))),
  );
  return open.flatMap((build) => {
    const own = running.filter((clock) => clock.build === build.id);
    const tail = tails(build.sheet);
    return build.sheet.operations.flatMap((op, place) => {
      const state = build.bench.operations[op.id];
      if (state?.status !== "ready" || heldBy(op, own, now).length) return [];
      const busy = theirs.find(({ station }) => station === op.station) ?? null;
      const setup = setupFor(build, op, stands.get(op.station));
      const minutes = minutesNow(build.sheet, op, setup.setup === "stands");
      return [
        {
          build,
          op,
          place,
          minutes,
          tail: tail.get(op.id) ?? op.minutes,
          busy,
          again: reopenedFor(op, state),
          ...setup,
        },
      ];
    });
  });
}

/** Attended minutes of an operation, with its station set for it or not. */
export function minutesNow(sheet: Sheet, op: Operation, isSet: boolean): number {
  return op.minutes - op.setup_minutes + (isSet ? 0 : minutesToSet(sheet, op));
}

/** Whether the station is set for it, is free, or stands in what others still need. */
function setupFor(
  build: OpenBuild,
  op: Operation,
  stands: (Stands & Need) | undefined,
): Pick<Candidate, "setup" | "need"> {
  const setting = settingOf(build.sheet, op);
  if (!stands) return { setup: "free", need: NOTHING };
  if (setting === stands.setting) return { setup: "stands", need: stands };
  return { setup: setting && stands.left ? "breaks" : "free", need: stands };
}
