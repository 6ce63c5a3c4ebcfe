/**
 * What is for your hands now, what fits into a wait, and which setups to leave standing.
 *
 * The phone alone decides this. Each choice comes with one plain sentence that says why it stands where it does.
 */
import { MINUTE_MS } from "../durations.ts";
import { show, TIME } from "../recipe/measure.ts";
import type { Clock, Operation, OperationState } from "../wire.gen.ts";
import { isReminder, wordsOf } from "./clock_kinds.ts";
import { heldBy } from "./clocks.ts";
import { fixtureUses, type Taken, takenFrom } from "./fixtures.ts";
import { againSentences } from "./measured.ts";
import type { Planned } from "./planned.ts";
import { type OpenBuild, type StandingSetup, standingSetups } from "./standing.ts";
import { longestWait, tails } from "./tails.ts";

export type BuildClock = Clock & { readonly build: string };
export type Choice = { readonly build: string; readonly operation: string; readonly reason: string };
/** An operation that is ready but for a fixture that something else stands in. */
export type Blocked = { readonly build: string; readonly operation: string; readonly taken: Taken };
export type Advice = {
  readonly now: readonly Choice[];
  readonly meanwhile: readonly Choice[];
  readonly blocked: readonly Blocked[];
  readonly standing: readonly StandingSetup[];
};

/** A clock due within so many minutes makes longer work wait. Common practice, no source. */
const SOON = 30;
/** A wait of so many minutes is one for the night. Common practice, no source. */
const OVERNIGHT = 4 * 60;
/** What is to stand overnight is begun so many minutes before it must be. Common practice, no source. */
const SLACK = 30;

/** Something that could be done now, with all that ranks it. */
type Candidate = {
  readonly build: OpenBuild;
  readonly op: Operation;
  readonly state: OperationState;
  readonly tail: number;
  readonly place: number;
  readonly setup: "stands" | "free" | "breaks";
  readonly run: number;
  readonly left: number;
};

type Wait = { readonly minutes: number; readonly until: string };

/**
 * Ranks what can be done at `now`.
 *
 * First what clocks ask for and what is in hand; then what is planned, in that order; then what fits before the next
 * clock is due, what must go into clamps to stand overnight, what the standing setups serve, the longest way still to
 * go, and the pieces in order; last what is to be measured again. dayEnds: when the hands stop today; null when nobody
 * said. owned: how many the shop has of its own fixtures, by name.
 */
export function adviceFor(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  now: number,
  dayEnds: number | null,
  planned: readonly Planned[] = [],
  owned: Readonly<Record<string, number>> = {},
): Advice {
  const standing = standingSetups(open);
  const wait = shortestWait(open, running, now);
  const left = dayEnds !== null && dayEnds > now ? (dayEnds - now) / MINUTE_MS : null;
  const plan = new Map(planned.map((one, n) => [keyed(one), { place: n, reason: one.reason }]));
  const byPlan = (one: Candidate) => plan.get(keyOf(one))?.place ?? planned.length;
  const byBench = byRank(wait, left);
  const uses = fixtureUses(open);
  const taken = ({ build, op }: Candidate) => takenFrom(build.id, op, uses, running, owned);
  const all = candidates(open, running, standing, now).sort((a, b) => byPlan(a) - byPlan(b) || byBench(a, b));
  const ready = all.filter((one) => !taken(one));
  const asked = askedFor(open, running, now);
  const reasoned = ready.map((one, n) =>
    choice(one, plan.get(keyOf(one))?.reason || reasonFor(one, wait, left, n, ready)),
  );
  const [first, ...others] = [...asked, ...reasoned, ...toMeasureAgain(open)];
  const fits = new Set(ready.filter(({ op }) => wait && op.minutes <= wait.minutes).map(keyOf));
  const isMeanwhile = (one: Choice) => fits.has(keyed(one));
  return {
    now: first ? [first, ...others.filter((one) => !isMeanwhile(one))] : [],
    blocked: all.flatMap((one) => {
      const found = taken(one);
      return found ? [{ build: one.build.id, operation: one.op.id, taken: found }] : [];
    }),
    meanwhile: others.filter(isMeanwhile).map((one) => ({ ...one, reason: meanwhileReason(one, ready, wait) })),
    standing,
  };
}

/** What clocks ask for, then what is in hand and not left to itself. */
function askedFor(open: readonly OpenBuild[], running: readonly BuildClock[], now: number): readonly Choice[] {
  const asked = running.flatMap((clock) => {
    const words = isForHands(clock) ? wordsFor(open, clock).asks : undefined;
    return words ? [{ build: clock.build, operation: clock.operation, reason: words }] : [];
  });
  const inHand = open.flatMap(({ id, sheet, bench }) =>
    sheet.operations
      .filter((op) => bench.operations[op.id]?.status === "in-hand" && !isLeftAlone(id, op, running, now))
      .map((op) => ({ build: id, operation: op.id, reason: inHandReason(bench.operations[op.id], op) })),
  );
  const once = new Map([...asked, ...inHand].reverse().map((one) => [keyed(one), one]));
  return [...once.values()].reverse();
}

/** What a clock of these builds is called and says. */
function wordsFor(open: readonly OpenBuild[], { build, operation, kind }: BuildClock) {
  const sheet = open.find(({ id }) => id === build)?.sheet;
  return wordsOf(
    kind,
    sheet?.operations.find(({ id }) => id === operation),
  );
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
function toMeasureAgain(open: readonly OpenBuild[]): readonly Choice[] {
  return open.flatMap(({ id, sheet, bench }) =>
    sheet.operations.flatMap((op) => {
      const reason = againSentences(sheet, bench, op).join(" ");
      return reason ? [{ build: id, operation: op.id, reason }] : [];
    }),
  );
}

/** Every operation that is ready and not held by a clock. */
function candidates(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  standing: readonly StandingSetup[],
  now: number,
): Candidate[] {
  return open.flatMap((build) => {
    const own = running.filter((clock) => clock.build === build.id);
    const tail = tails(build.sheet);
    return build.sheet.operations.flatMap((op, place) => {
      const state = build.bench.operations[op.id];
      if (state?.status !== "ready" || heldBy(op, own, now).length) return [];
      return [{ build, op, state, place, tail: tail.get(op.id) ?? op.minutes, ...setupFor(build, op, open, standing) }];
    });
  });
}

/** Whether the operation's setup stands, its station is free, or doing it would break a setup that others need. */
function setupFor(
  build: OpenBuild,
  op: Operation,
  open: readonly OpenBuild[],
  standing: readonly StandingSetup[],
): Pick<Candidate, "setup" | "run" | "left"> {
  const stood = standing.find(({ station }) => station === op.station);
  const by = open.find(({ id }) => id === stood?.build);
  if (!stood || !by || !op.setup) return { setup: "free", run: 0, left: 0 };
  const isSame = stood.setup === op.setup && (by.id === build.id || by.sheet.recipe === build.sheet.recipe);
  if (isSame) return { setup: "stands", run: stood.run, left: stood.left };
  return { setup: stood.left ? "breaks" : "free", run: 0, left: stood.left };
}

/** The running wait that ends soonest and then asks for hands. */
function shortestWait(open: readonly OpenBuild[], running: readonly BuildClock[], now: number): Wait | null {
  const waits = running.flatMap((clock) => {
    const { least, too_cold } = clock;
    const { until } = wordsFor(open, clock);
    return least !== null && least > now && !too_cold && until ? [{ minutes: (least - now) / MINUTE_MS, until }] : [];
  });
  return waits.length ? waits.reduce((a, b) => (a.minutes <= b.minutes ? a : b)) : null;
}

function byRank(wait: Wait | null, left: number | null): (a: Candidate, b: Candidate) => number {
  const order = new Map<Candidate, readonly number[]>();
  const rank = (one: Candidate) => {
    const found = order.get(one) ?? rankOf(one, wait, left);
    order.set(one, found);
    return found;
  };
  return (a, b) => {
    const [x, y] = [rank(a), rank(b)];
    const n = x.findIndex((value, i) => value !== y[i]);
    return n < 0 ? 0 : (x[n] ?? 0) - (y[n] ?? 0);
  };
}

/** Lower comes first, one criterion after the other. */
function rankOf(one: Candidate, wait: Wait | null, left: number | null): readonly number[] {
  return [
    isTooLong(one, wait) ? 1 : 0,
    isLastChance(one, left) ? 0 : 1,
    { stands: 0, free: 1, breaks: 2 }[one.setup],
    isForTheNight(one, left) ? 0 : 1,
    -one.tail,
    one.build.sheet.pieces.indexOf(one.op.piece),
    one.place,
  ];
}

/** Longer than the clock that is due soon allows. */
function isTooLong({ op }: Candidate, wait: Wait | null): boolean {
  return wait !== null && wait.minutes <= SOON && op.minutes > wait.minutes;
}

/** Starts a wait for the night, and can be done before the day ends. */
function isForTheNight({ op }: Candidate, left: number | null): boolean {
  return left !== null && op.minutes <= left && longestWait(op) >= Math.max(OVERNIGHT, left);
}

/** Starts a wait for the night, and is only just done before the day ends. */
function isLastChance(one: Candidate, left: number | null): boolean {
  return left !== null && isForTheNight(one, left) && left - one.op.minutes <= SLACK;
}

function reasonFor(
  one: Candidate,
  wait: Wait | null,
  left: number | null,
  n: number,
  all: readonly Candidate[],
): string {
  const longest = longestWait(one.op);
  if (isTooLong(one, wait) && wait) return `Longer than the ${time(wait.minutes)} until ${wait.until}.`;
  if (isForTheNight(one, left)) return `Starts a ${time(longest)} wait: it can set overnight.`;
  if (one.setup === "stands") return standsReason(one);
  if (one.setup === "breaks")
    return `Would break a setup at the ${one.op.station} that ${counted(one.left)} still need.`;
  if (longest >= SOON) return `Starts a ${time(longest)} wait: other work fits into it.`;
  if (n === 0 && all.some(({ tail }) => tail < one.tail)) return `Longest way still to go: ${time(one.tail)}.`;
  return one.op.piece ? `Comes next for piece ${one.op.piece}.` : "Comes next.";
}

function standsReason({ op, run, left }: Candidate): string {
  if (run > 1) return `Same setup at the ${op.station} as the last ${run}: ${counted(left)} to go.`;
  return `The ${op.station} is set for this: ${counted(left)} to go.`;
}

function meanwhileReason(one: Choice, ready: readonly Candidate[], wait: Wait | null): string {
  const found = ready.find((candidate) => keyOf(candidate) === keyed(one));
  if (!found || !wait) return one.reason;
  return `${time(found.op.minutes)} of work: fits into the ${time(wait.minutes)} until ${wait.until}.`;
}

function choice({ build, op }: Candidate, reason: string): Choice {
  return { build: build.id, operation: op.id, reason };
}

function keyOf({ build, op }: Candidate): string {
  return `${build.id} ${op.id}`;
}

function keyed({ build, operation }: { readonly build: string; readonly operation: string }): string {
  return `${build} ${operation}`;
}

function counted(parts: number): string {
  return parts === 1 ? "1 part" : `${parts} parts`;
}

/** Whole minutes, as `1 h 30 min`. */
function time(minutes: number): string {
  return show(Math.max(1, Math.floor(minutes)), TIME, "mm");
}
