/**
 * Batches: the same operation of several pieces or builds, taken up as one stretch at the machine.
 *
 * A batch is only how the hands go about it: each of its operations keeps its own ticks, checks and times. What is glued
 * is never in one, since each glue-up has an open time of its own; nor is a dry fit, after which its glue-up comes.
 */
import type { Bench, Operation, PlannedTask, Setup } from "../wire.gen.ts";
import type { Advice, Choice } from "./next.ts";
import { partMm, type Sizes, setValues, sizesOf } from "./sizes.ts";
import type { OpenBuild } from "./standing.ts";

/** One operation of a batch. */
export type Member = { readonly build: string; readonly operation: string };

/** Choices that are one batch, its first in front; a single one is none. */
export type Batch = readonly [Choice, ...Choice[]];

/** What is for the hands, with what is one batch put together. */
export type BatchedAdvice = { readonly now: readonly Batch[]; readonly meanwhile: readonly Choice[] };

/** Whether the plan keeps two operations apart that could be one batch. */
export type Apart = (one: Member, other: Member) => boolean;

/**
 * The advice with its batches, each in the place of its first choice. What fits into a wait by itself joins a batch that
 * is for now, but makes none: together they might not fit.
 */
export function inBatches({ now, meanwhile }: Advice, open: readonly OpenBuild[], isApart: Apart): BatchedAdvice {
  const kind = kinds(open);
  const taken = new Set<Choice>();
  const all = [...now, ...meanwhile];
  const batches = now.flatMap((first): Batch[] => {
    if (taken.has(first)) return [];
    const own = kind(first);
    const others = all.filter(
      (one) => one !== first && !taken.has(one) && own !== null && kind(one) === own && !isApart(first, one),
    );
    for (const one of [first, ...others]) taken.add(one);
    return [withReason([first, ...others], open)];
  });
  return { now: batches, meanwhile: meanwhile.filter((one) => !taken.has(one)) };
}

/** Every operation that could be taken up with this one, in order of the builds, itself among them; alone: none. */
export function batchAround(member: Member, open: readonly OpenBuild[]): readonly Member[] {
  const build = open.find(({ id }) => id === member.build);
  const own = build && operationIn(build, member.operation);
  if (!build || !own || !isPlain(own, build.bench)) return [];
  const sized = kindsBySize();
  const wanted = sized(build, own);
  const all = open.flatMap((other) =>
    other.sheet.operations
      .filter((op) => op.name === own.name && isPlain(op, other.bench) && sized(other, op) === wanted)
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

/** Attended minutes of these operations as one batch: what sets the station up counts once. */
export function batchMinutes(operations: readonly Operation[]): number {
  const setting = Math.max(0, ...operations.map(({ setup_minutes: minutes }) => minutes));
  return operations.reduce((sum, { minutes, setup_minutes }) => sum + minutes - setup_minutes, setting);
}

/** By choice, what it has in common with others of its batch; null for one that is in no batch. */
function kinds(open: readonly OpenBuild[]): (member: Member) => string | null {
  const sized = kindsBySize();
  return ({ build: id, operation }) => {
    const build = open.find((one) => one.id === id);
    const op = build && operationIn(build, operation);
    if (!build || !op || !isPlain(op, build.bench)) return null;
    return `${build.bench.operations[operation]?.status} ${sized(build, op)}`;
  };
}

/** Whether it is ready, or begun and not further, and may be in a batch at all. */
function isPlain(op: Operation, bench: Bench): boolean {
  const state = bench.operations[op.id];
  if (!mayJoin(op) || !state) return false;
  if (state.status === "ready") return true;
  return state.status === "in-hand" && Object.keys(state.marks).every((mark) => mark === "began" || mark === "ticked");
}

/** Not what is glued, put together dry or kept in a form, nor what a clock runs for while it is done; coats may be. */
function mayJoin({ step, held_until, clocks }: Operation): boolean {
  if (step === "glue-up" || step === "dry-fit" || held_until) return false;
  return step === "coat" || clocks.every(({ starts }) => starts === "finished");
}

/** What operations of one batch have in common: recipe, words, station, and all that is set and made there. */
export function kindsBySize(): (build: OpenBuild, op: Operation) => string {
  const known = new Map<string, Sizes>();
  const sizesFor = ({ id, sheet, bench }: OpenBuild, piece: string) => {
    const sizes = known.get(`${id} ${piece}`) ?? sizesOf(sheet, bench.as_built, piece);
    known.set(`${id} ${piece}`, sizes);
    return sizes;
  };
  return (build, op) => {
    const setup = build.sheet.setups.find(({ id }) => id === op.setup);
    const sizes = sizesFor(build, op.piece);
    const words = [build.sheet.recipe, op.name, op.title, op.station, op.setup, op.do];
    return JSON.stringify([words, setup ? set(setup, sizes) : null, made(build, op, sizes)]);
  };
}

function set(setup: Setup, sizes: Sizes): readonly (readonly [string, string])[] {
  return Object.entries(setValues(setup, sizes)).map(([name, value]) => [name, rounded(value)] as const);
}

/** The sizes that it makes of its parts, each once. */
function made({ sheet }: OpenBuild, op: Operation, sizes: Sizes): readonly string[] {
  const own = new Set(op.parts);
  const found = (op.to_size ?? []).flatMap(({ part, stage, measures }) => {
    const rows = (sheet.cutting_list ?? []).filter((row) => row.part === part && row.of.some((id) => own.has(id)));
    return rows.map(({ of, rough_mm }) => {
      const one = sheet.parts.find(({ id }) => own.has(id) && of.includes(id));
      const mm = stage === "rough" || !one ? rough_mm : partMm(one, sizes);
      return `${part} ${measures.map((measure) => `${measure} ${rounded(mm[MEASURES.indexOf(measure)] ?? null)}`)}`;
    });
  });
  return [...new Set(found)].sort();
}

const MEASURES = ["length", "width", "thickness"];

/** To a hundredth, far finer than any stop is set. */
function rounded(value: number | null): string {
  return value === null ? "?" : value.toFixed(2);
}

/** A batch in hand counts the parts of all its pieces; what is ready keeps the reason of its first. */
function withReason(batch: Batch, open: readonly OpenBuild[]): Batch {
  const [first, ...others] = batch;
  const states = batch.flatMap(({ build: id, operation }) => {
    const build = open.find((one) => one.id === id);
    const op = build && operationIn(build, operation);
    const state = build?.bench.operations[operation];
    return op && state?.status === "in-hand" ? [{ parts: op.parts.length, left: state.left.length }] : [];
  });
  if (others.length === 0 || states.length === 0) return batch;
  const [parts, left] = [sumOf(states.map((one) => one.parts)), sumOf(states.map((one) => one.left))];
  const reason = left > 0 ? `In hand: ${left} of ${parts} parts to go.` : "In hand: finish it first.";
  return [{ ...first, reason }, ...others];
}

function sumOf(counts: readonly number[]): number {
  return counts.reduce((sum, count) => sum + count, 0);
}

function operationIn({ sheet }: OpenBuild, id: string): Operation | undefined {
  return sheet.operations.find((op) => op.id === id);
}
