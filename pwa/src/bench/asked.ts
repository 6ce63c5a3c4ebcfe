/** What asks for hands before anything new is begun: clocks, what is in hand, and last what is to be measured again. */
import type { Clock, Operation, OperationState } from "../wire.gen.ts";
import { type Choice, keyOf } from "./choice.ts";
import { isOpenTime, isReminder } from "./clock_kinds.ts";
import type { BuildClock } from "./clocks.ts";
import { againSentences } from "./measured.ts";
import type { OpenBuild } from "./standing.ts";
import { wordsFor } from "./waits.ts";

/**
 * Open glue first, then what other clocks ask for, then what is in hand and not left to itself; but not what others have
 * in hand.
 */
export function askedFor(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  now: number,
  others: ReadonlySet<string>,
): readonly Choice[] {
  const asked = [...running]
    .filter((clock) => isForHands(clock) && !others.has(keyOf(clock)))
    .sort((a, b) => Number(isOpenTime(b)) - Number(isOpenTime(a)))
    .flatMap((clock) => {
      const { asks, late } = wordsFor(open, clock);
      const reason = asks && clock.phase === "late" ? late : asks;
      return reason ? [{ build: clock.build, operation: clock.operation, reason }] : [];
    });
  const inHand = open.flatMap(({ id, sheet, bench }) =>
    sheet.operations
      .filter((op) => bench.operations[op.id]?.status === "in-hand" && !isLeftAlone(id, op, running, now))
      .map((op) => ({ build: id, operation: op.id, reason: inHandReason(bench.operations[op.id], op) }))
      .filter((choice) => !others.has(keyOf(choice))),
  );
  const known = new Set<string>();
  return [...asked, ...inHand].filter((one) => !known.has(keyOf(one)) && known.add(keyOf(one)));
}

/** A wait asks when it is due, a deadline as long as it runs. */
function isForHands({ phase, least }: Clock): boolean {
  return phase !== "running" || least === null;
}

/** Whether one of its own waits runs, so that the hands are free. */
function isLeftAlone(build: string, op: Operation, running: readonly BuildClock[], now: number): boolean {
  return running.some(
    ({ build: of, operation, kind, least }) =>
      of === build && operation === op.id && !isReminder(kind) && least !== null && now < least,
  );
}

function inHandReason(state: OperationState | undefined, op: Operation): string {
  const left = state?.left.length ?? 0;
  if (op.parts.length > 1 && left) return `In hand: ${left} of ${op.parts.length} parts to go.`;
  return "In hand: finish it first.";
}

/** What was measured out of its bounds: it can be measured again at any time, and rarely is ready within the hour. */
export function toMeasureAgain(open: readonly OpenBuild[]): readonly Choice[] {
  return open.flatMap(({ id, sheet, bench }) =>
    sheet.operations.flatMap((op) => {
      const reason = againSentences(sheet, bench, op).join(" ");
      return reason ? [{ build: id, operation: op.id, reason }] : [];
    }),
  );
}

/** What others have in hand, so that it can be found, and carried on in their place. */
export function inHandOf(open: readonly OpenBuild[], others: ReadonlySet<string>): readonly Choice[] {
  return open.flatMap(({ id: build, sheet }) =>
    sheet.operations
      .filter(({ id: operation }) => others.has(keyOf({ build, operation })))
      .map(({ id: operation }) => ({ build, operation, reason: "Begun or ticked last on another phone." })),
  );
}
