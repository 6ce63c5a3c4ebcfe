/**
 * Batches: the same operation of several pieces or builds, taken up as one stretch at the machine.
 *
 * A batch is only how the hands go about it: each of its operations keeps its own ticks, checks and times.
 */
import { show, TIME } from "../recipe/measure.ts";
import type { Operation, PlannedTask } from "../wire.gen.ts";
import { isPlain, kindOf, type Member } from "./alike.ts";
import { minutesNow } from "./candidates.ts";
import type { Choice } from "./choice.ts";
import type { Advice } from "./next.ts";
import { longerThan } from "./reasons.ts";
import { type OpenBuild, type Stands, settingOf, standsNow } from "./standing.ts";

/** Choices that are one batch, its first in front; a single one is none. */
export type Batch = readonly [Choice, ...Choice[]];

/** What is for the hands, and what fits into a wait, with what is one batch put together. */
export type BatchedAdvice = { readonly now: readonly Batch[]; readonly meanwhile: readonly Batch[] };

/** Whether the plan keeps two operations apart that could be one batch. */
export type Apart = (one: Member, other: Member) => boolean;

/**
 * The advice with its batches, each in the place of its first choice. No batch is torn for a wait: one that does not fit
 * into it whole is offered with what is ready.
 */
export function inBatches({ now, meanwhile, wait }: Advice, open: readonly OpenBuild[], isApart: Apart): BatchedAdvice {
  const kind = kinds(open);
  const stands = standsNow(open);
  const withOthers = (first: Choice, all: readonly Choice[]): Batch => {
    const own = kind(first);
    const found: [Choice, ...Choice[]] = [first];
    for (const one of own === null ? [] : all)
      if (one !== first && kind(one) === own && !isApart(first, one)) found.push(one);
    return found;
  };
  const ready = gathered(now, [...now, ...meanwhile], withOthers);
  const taken = new Set(ready.flat());
  const others = meanwhile.filter((one) => !taken.has(one));
  const inOrder = ordering(open);
  const fillers = gathered(others, others, withOthers).map((batch) => ({
    batch: inOrder(batch),
    minutes: batchMinutes(batch, open, stands),
  }));
  const fits = ({ minutes }: { readonly minutes: number }) => wait !== null && minutes <= wait.minutes;
  const tooLong = wait ? longerThan(wait) : "";
  return {
    now: [
      ...ready.map((batch) => inOrder(withCount(batch, open))),
      ...fillers.filter((one) => !fits(one)).map(({ batch }) => because(batch, tooLong)),
    ],
    meanwhile: fillers.filter(fits).map(({ batch, minutes }) => withMinutes(batch, minutes)),
  };
}

/** A batch for each of `firsts` that is in none before it. all: those that may be in one. */
function gathered(
  firsts: readonly Choice[],
  all: readonly Choice[],
  withOthers: (first: Choice, all: readonly Choice[]) => Batch,
): readonly Batch[] {
  const taken = new Set<Choice>();
  return firsts.flatMap((first) => {
    if (taken.has(first)) return [];
    const free = all.filter((one) => !taken.has(one));
    const batch = withOthers(first, free);
    for (const one of batch) taken.add(one);
    return [batch];
  });
}

/** Every operation that could be taken up with this one, in order of the builds, itself among them; alone: none. */
export function batchAround(member: Member, open: readonly OpenBuild[]): readonly Member[] {
  const build = open.find(({ id }) => id === member.build);
  const own = build && operationIn(build, member.operation);
  if (!build || !own || !isPlain(own, build.bench)) return [];
  const wanted = kindOf(build, own);
  const all = open.flatMap((other) =>
    other.sheet.operations
      .filter((op) => op.name === own.name && isPlain(op, other.bench) && kindOf(other, op) === wanted)
      .map((op) => ({ build: other.id, operation: op.id })),
  );
  return all.length > 1 ? all : [];
}

/**
 * What a plan keeps apart: operations on different days, or with something else between them at their station. The plan
 * has nothing against what it does not know.
 */
export function plannedApart(steps: readonly PlannedTask[], isSameDay: (one: number, other: number) => boolean): Apart {
  const work = steps.filter(({ act }) => act === "work");
  const placeOf = ({ build, operation }: Member) =>
    work.findIndex((step) => step.build === build && step.operation === operation);
  return (one, other) => {
    const [from = -1, to = -1] = [placeOf(one), placeOf(other)].sort((a, b) => a - b);
    const [first, last] = [work[from], work[to]];
    if (!first || !last) return false;
    const isBetween = ({ station, title }: PlannedTask) => station === first.station && title !== first.title;
    return !isSameDay(first.start, last.start) || work.slice(from + 1, to).some(isBetween);
  };
}

/** Attended minutes of these operations as one batch: setting the station counts once, and not where it stands so. */
export function batchMinutes(
  members: readonly Member[],
  open: readonly OpenBuild[],
  stands: ReadonlyMap<string, Stands> = standsNow(open),
): number {
  const found = members.flatMap(({ build: id, operation }) => {
    const build = open.find((one) => one.id === id);
    const op = build && operationIn(build, operation);
    if (!build || !op) return [];
    const setting = settingOf(build.sheet, op);
    const isSet = setting !== "" && stands.get(op.station)?.setting === setting;
    const bare = minutesNow(build.sheet, op, true);
    return [{ bare, setting: minutesNow(build.sheet, op, isSet) - bare }];
  });
  return sumOf(found.map(({ bare }) => bare)) + Math.max(0, ...found.map(({ setting }) => setting));
}

/** By choice, what it has in common with others of its batch; null for one that is in no batch. */
function kinds(open: readonly OpenBuild[]): (member: Member) => string | null {
  const known = new Map<Member, string | null>();
  const find = ({ build: id, operation }: Member) => {
    const build = open.find((one) => one.id === id);
    const op = build && operationIn(build, operation);
    if (!build || !op || !isPlain(op, build.bench)) return null;
    return `${build.bench.operations[operation]?.status} ${kindOf(build, op)}`;
  };
  return (member) => {
    const kind = known.get(member);
    const found = kind === undefined ? find(member) : kind;
    known.set(member, found);
    return found;
  };
}

/** A batch with its builds and pieces in order; the reason of the first choice stays in front. */
function ordering(open: readonly OpenBuild[]): (batch: Batch) => Batch {
  const places = new Map(open.map(({ id }, n) => [id, n]));
  const ids = new Map(open.map(({ id, sheet }) => [id, sheet.operations.map((op) => op.id)]));
  const placeOf = ({ build, operation }: Choice) => ids.get(build)?.indexOf(operation) ?? 0;
  const byBuild = (a: Choice, b: Choice) => (places.get(a.build) ?? 0) - (places.get(b.build) ?? 0);
  return (batch) => {
    const [first = batch[0], ...others] = [...batch].sort((a, b) => byBuild(a, b) || placeOf(a) - placeOf(b));
    return [{ ...first, reason: batch[0].reason }, ...others];
  };
}

/** A batch in hand counts the parts of all its pieces; what is ready keeps the reason of its first. */
function withCount(batch: Batch, open: readonly OpenBuild[]): Batch {
  const [first, ...others] = batch;
  const states = batch.flatMap(({ build, operation }) => {
    const state = open.find(({ id }) => id === build)?.bench.operations[operation];
    return state?.status === "in-hand" ? [state] : [];
  });
  if (others.length === 0 || states.length === 0) return batch;
  const left = sumOf(states.map((state) => state.left.length));
  const parts = sumOf(operationsOf(batch, open).map((op) => op.parts.length));
  const reason = left > 0 ? `In hand: ${left} of ${parts} parts to go.` : "In hand: finish it first.";
  return [{ ...first, reason }, ...others];
}

/** A batch that fits into a wait says how long it takes in all. */
function withMinutes(batch: Batch, minutes: number): Batch {
  return batch.length > 1 ? because(batch, `${show(minutes, TIME, "mm")} of work in all.`) : batch;
}

function because([first, ...others]: Batch, reason: string): Batch {
  return [{ ...first, reason }, ...others];
}

function operationsOf(choices: readonly Choice[], open: readonly OpenBuild[]): readonly Operation[] {
  return choices.flatMap(({ build: id, operation }) => {
    const build = open.find((one) => one.id === id);
    return (build && operationIn(build, operation)) ?? [];
  });
}

function sumOf(counts: readonly number[]): number {
  return counts.reduce((sum, count) => sum + count, 0);
}

function operationIn({ sheet }: OpenBuild, id: string): Operation | undefined {
  return sheet.operations.find((op) => op.id === id);
}
