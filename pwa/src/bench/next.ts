/**
 * What is for your hands now, what fits into a wait, what has to wait for fixtures or clamps, and which setups stand.
 *
 * The phone alone decides this, for this moment, whatever the shop's hours are.
 */
import { MINUTE_MS } from "../durations.ts";
import { askedFor, inHandOf, toMeasureAgain } from "./asked.ts";
import { type Candidate, candidates } from "./candidates.ts";
import { type Choice, keyOf } from "./choice.ts";
import { type ClampCount, type ClampsOut, type ClampsShort, clampsOut, scarceClamps, shortFor } from "./clamps.ts";
import type { BuildClock } from "./clocks.ts";
import { fixtureUses, type Taken, takenFrom } from "./fixtures.ts";
import type { Planned } from "./planned.ts";
import { byRank, type Times } from "./ranking.ts";
import { reasonFor, time } from "./reasons.ts";
import { type ToMakeAgain, toMakeAgain } from "./spoiled.ts";
import { type OpenBuild, type StandingSetup, standingSetups } from "./standing.ts";
import { OVERNIGHT, shortestWait, type Wait } from "./waits.ts";

/** What keeps an operation that is ready: a fixture in which something else stands, or clamps that are out. */
export type InTheWay = { readonly taken: Taken } | { readonly short: ClampsShort };
/** An operation that is ready but for that. */
export type Blocked = { readonly build: string; readonly operation: string; readonly by: InTheWay };

/**
 * again: what is to be made again first. wait: into what the choices of `meanwhile` fit. elsewhere: what others have in
 * hand. clamps: of each kind that is scarce.
 */
export type Advice = {
  readonly again: readonly ToMakeAgain[];
  readonly now: readonly Choice[];
  readonly meanwhile: readonly Choice[];
  readonly wait: Wait | null;
  readonly elsewhere: readonly Choice[];
  readonly blocked: readonly Blocked[];
  readonly clamps: readonly ClampCount[];
  readonly standing: readonly StandingSetup[];
};

/**
 * What the shop has, and who is in it.
 *
 * dayEnds: when the hands stop today; null when nobody said. planned: what the server's plan has ready, in its order.
 * fixtures, clamps: how many it has of its own fixtures by name, and of clamps by kind. others: keys of operations that
 * other people have in hand.
 */
export type ShopNow = {
  readonly dayEnds?: number | null;
  readonly planned?: readonly Planned[];
  readonly fixtures?: Readonly<Record<string, number>>;
  readonly clamps?: Readonly<Record<string, number>>;
  readonly others?: ReadonlySet<string>;
};

/**
 * Ranks what can be done at `now`.
 *
 * First what clocks ask for and what is in hand; then what a spoiled part needs once more; then what is planned, in that
 * order; then what fits before the next
 * clock is due, what must go into clamps to stand overnight, what the standing setups serve, the longest way still to
 * go, and the pieces in order; last what somebody else's station would be needed for, and what is to be measured again.
 */
export function adviceFor(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  now: number,
  { dayEnds = null, planned = [], fixtures = {}, clamps = {}, others = new Set() }: ShopNow = {},
): Advice {
  const wait = shortestWait(open, running, now);
  const times: Times = { wait, left: dayEnds !== null && dayEnds > now ? (dayEnds - now) / MINUTE_MS : null };
  const all = ordered(candidates(open, running, now, others), planned, times);
  const out = clampsOut(open, running);
  const inTheWay = wayBlocker(open, running, out, { fixtures, clamps });
  const ready = all.filter((one) => !inTheWay(one));
  const blocked = all.flatMap((one) => {
    const by = inTheWay(one);
    return by ? [{ build: one.build.id, operation: one.op.id, by }] : [];
  });
  const reasons = new Map(planned.map((one) => [keyOf(one), one.reason]));
  const reasoned = ready.map((one, n) =>
    choice(one, (!one.busy && !one.again.length && reasons.get(candidateKey(one))) || reasonFor(one, times, n, ready)),
  );
  const asked = askedFor(open, running, now, others);
  const [first, ...more] = [...asked, ...reasoned, ...toMeasureAgain(open)];
  const fitting = wait && wait.minutes < OVERNIGHT ? ready.filter(({ minutes }) => minutes <= wait.minutes) : [];
  const minutes = new Map(fitting.map((one) => [candidateKey(one), one.minutes]));
  const meanwhile = more.filter((one) => minutes.has(keyOf(one)));
  return {
    again: toMakeAgain(open),
    now: first ? [first, ...more.filter((one) => !meanwhile.includes(one))] : [],
    meanwhile: meanwhile.map((one) => ({ ...one, reason: `${time(minutes.get(keyOf(one)) ?? 0)} of work.` })),
    wait: meanwhile.length ? wait : null,
    elsewhere: inHandOf(open, others),
    blocked,
    clamps: scarceClamps(
      open,
      out,
      clamps,
      blocked.flatMap(({ by }) => ("short" in by ? [by.short] : [])),
    ),
    standing: standingSetups(open),
  };
}

/** What a part made again needs, what is planned in its order, then by the bench's own rank; last of all what needs a station somebody is at. */
function ordered(found: readonly Candidate[], planned: readonly Planned[], times: Times): readonly Candidate[] {
  const places = new Map(planned.map((one, n) => [keyOf(one), n]));
  const byPlan = (one: Candidate) => places.get(candidateKey(one)) ?? planned.length;
  const byBench = byRank(times);
  return [...found].sort(
    (a, b) =>
      Number(a.busy !== null) - Number(b.busy !== null) ||
      Number(b.again.length > 0) - Number(a.again.length > 0) ||
      byPlan(a) - byPlan(b) ||
      byBench(a, b),
  );
}

/** Gives what keeps a candidate; null for one that can begin. Clamps that the shop never has are no reason to wait. */
function wayBlocker(
  open: readonly OpenBuild[],
  running: readonly BuildClock[],
  out: readonly ClampsOut[],
  { fixtures, clamps }: Required<Pick<ShopNow, "fixtures" | "clamps">>,
): (one: Candidate) => InTheWay | null {
  const uses = fixtureUses(open);
  return ({ build, op }) => {
    const taken = takenFrom(build.id, op, uses, running, fixtures);
    if (taken) return { taken };
    const short = shortFor(build.id, op, out, clamps);
    return short?.by ? { short } : null;
  };
}

function choice({ build, op }: Candidate, reason: string): Choice {
  return { build: build.id, operation: op.id, reason };
}

function candidateKey({ build, op }: Candidate): string {
  return keyOf({ build: build.id, operation: op.id });
}
