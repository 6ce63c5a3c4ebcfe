/** A plan cut into days: what the hands do, what each station does, and which clamps are out. */
import { MINUTE_MS } from "../../durations.ts";
import type { PlannedTask, PresentedPlan } from "../../wire.gen.ts";
import { type Busy, SCREEN, type Sizes, type Span, type Stretch, stretchesOf } from "./stretches.ts";

/**
 * A step, or that part of it which falls into one stretch of open hours.
 *
 * more: steps that follow it in one stretch at the same machine, the same operation of other pieces. goesOn: it is left at closing time. lane: which pair of hands, from 0, of so many that day.
 */
export type Block = Span & {
  readonly step: PlannedTask;
  readonly more: readonly PlannedTask[];
  readonly setting: Span | null;
  readonly goesOn: boolean;
  readonly lane: number;
  readonly lanes: number;
};

/** What a station does for a step. "run": it works by itself. */
export type Use = Span & { readonly step: PlannedTask; readonly what: "setting" | "work" | "run" };

/** So many clamps of a kind are out. taken, given: some are put on, or come off, at that end. */
export type Held = Span & { readonly count: number; readonly taken: boolean; readonly given: boolean };

/** names: of the plan's builds, by id. people: whose the lanes are, where the shop has named its people. blocks: as the hands take them up. reopens: when hands work again after that day; null when they need not. */
export type Day = Span & {
  readonly names: ReadonlyMap<string, string>;
  readonly people: readonly string[];
  readonly reopens: number | null;
  readonly blocks: readonly Block[];
  readonly stations: ReadonlyMap<string, readonly Use[]>;
  readonly clamps: ReadonlyMap<string, readonly Held[]>;
  readonly stretches: readonly Stretch[];
};

/** Whether two steps may be one stretch of work. */
export type Joins = (one: PlannedTask, other: PlannedTask) => boolean;

const NONE_JOIN: Joins = () => false;

/** Days on which hands work, in order, from the moment the plan begins. Midnights are the phone's own. */
export function daysOf(plan: PresentedPlan, joins = NONE_JOIN, sizes: Sizes = SCREEN): readonly Day[] {
  const open = plan.hours.map(([from, to]) => ({ from, to }));
  const end = Math.max(plan.finish, ...plan.steps.map((step) => step.end));
  const holds = holdsOf(plan);
  const names = new Map(plan.forecasts.map(({ build, name }) => [build, name]));
  const people = [...new Set(plan.steps.flatMap(({ hand }) => hand || []))].sort();
  const days: Day[] = [];
  for (let from = plan.start; from < end; from = nextMidnight(from)) {
    const day = { from, to: nextMidnight(from) };
    const blocks = plan.steps.flatMap((step) => blocksOf(step, open, day));
    if (!blocks.length) continue;
    const lanes = people.length ? inLanesOf(people, blocks) : inLanes(blocks);
    days.push({ ...dayOf(day, joined(lanes, joins), plan.steps, open, holds, sizes), names, people });
  }
  return days;
}

function dayOf(
  day: Span,
  blocks: readonly Block[],
  steps: readonly PlannedTask[],
  open: readonly Span[],
  holds: readonly Hold[],
  sizes: Sizes,
): Omit<Day, "names" | "people"> {
  const busy: Busy = {
    open: cut(open, day),
    setting: blocks.flatMap(({ setting }) => setting ?? []),
    work: blocks,
  };
  return {
    ...day,
    blocks,
    stations: stationsOf(steps, day),
    clamps: clampsOf(holds, day),
    reopens: steps.some(({ end }) => end > day.to) ? (open.find(({ from }) => from >= day.to)?.from ?? null) : null,
    stretches: stretchesOf(day, busy, sizes),
  };
}

/** When the work on it begins, ms: with setting up, where there is something to set. */
export function beginOf({ setting, from }: Block): number {
  return setting?.from ?? from;
}

/** What takes no time, as glue that has set by itself, is drawn as long as this. */
const SHORTEST_MS = MINUTE_MS;

/** A step's open hours on that day; the whole of it where the plan has no hours for it. */
function blocksOf(step: PlannedTask, open: readonly Span[], day: Span): readonly Block[] {
  const whole = { from: step.start, to: Math.max(step.end, step.start + SHORTEST_MS) };
  const inHours = cut(open, whole);
  return cut(inHours.length ? inHours : [whole], day).map((span) => ({
    ...span,
    step,
    more: [],
    setting: step.changes && span.from === step.start ? { from: step.setup_at, to: step.start } : null,
    goesOn: span.to < step.end,
    lane: 0,
    lanes: 1,
  }));
}

/** In the order in which they are taken up; where two pairs of hands work, side by side. */
function inLanes(blocks: readonly Block[]): readonly Block[] {
  const frees: number[] = [];
  const placed = [...blocks]
    .sort((a, b) => beginOf(a) - beginOf(b))
    .map((block) => {
      const free = frees.findIndex((until) => until <= beginOf(block));
      const lane = free < 0 ? frees.length : free;
      frees[lane] = block.to;
      return { ...block, lane };
    });
  return placed.map((block) => ({ ...block, lanes: frees.length }));
}

/** Each person's side by side, the same lane every day; what is nobody's, as glue that sets, stands in the first. */
function inLanesOf(people: readonly string[], blocks: readonly Block[]): readonly Block[] {
  return [...blocks]
    .sort((a, b) => beginOf(a) - beginOf(b))
    .map((block) => ({ ...block, lane: Math.max(0, people.indexOf(block.step.hand ?? "")), lanes: people.length }));
}

/** Neighbours of a lane put together, where nothing is set between them. */
function joined(blocks: readonly Block[], joins: Joins): readonly Block[] {
  const found: Block[] = [];
  for (const block of blocks) {
    const at = found.findLastIndex(({ lane }) => lane === block.lane);
    const last = found[at];
    const isNext = last && !block.setting && block.from === last.to && areWork(last, block);
    if (last && isNext && joins(last.step, block.step))
      found[at] = { ...last, to: block.to, goesOn: block.goesOn, more: [...last.more, block.step] };
    else found.push(block);
  }
  return found;
}

function areWork(one: Block, other: Block): boolean {
  return one.step.act === "work" && other.step.act === "work";
}

function stationsOf(steps: readonly PlannedTask[], day: Span): ReadonlyMap<string, readonly Use[]> {
  const uses = steps
    .filter(({ station }) => station)
    .flatMap((step) => {
      const spans = [
        { what: "setting" as const, from: step.changes ? step.setup_at : step.start, to: step.start },
        { what: "work" as const, from: step.start, to: step.end },
        { what: "run" as const, from: step.end, to: step.free },
      ];
      return cut(spans, day).map((span) => ({ ...span, step }));
    });
  return grouped(uses, ({ step }) => step.station);
}

type Hold = Span & { readonly kind: string; readonly count: number };

/** From the glue-up until somebody takes them off; from before the plan where they are on already. */
function holdsOf({ steps, finish }: PresentedPlan): readonly Hold[] {
  const isOf = (one: PlannedTask) => (other: PlannedTask) =>
    one.build === other.build && one.operation === other.operation;
  const put = steps.filter(({ act, clamps }) => act === "work" && Object.keys(clamps).length > 0);
  const off = steps.filter(({ act }) => act === "clamps-off");
  const fromNow = put.map((step) => ({ step, from: step.start, to: off.find(isOf(step))?.end ?? finish }));
  const already = off
    .filter((step) => !put.some(isOf(step)))
    .map((step) => ({ step, from: Number.NEGATIVE_INFINITY, to: step.end }));
  return [...already, ...fromNow].flatMap(({ step, from, to }) =>
    Object.entries(step.clamps).map(([kind, count]) => ({ kind, count, from, to })),
  );
}

/** By kind, how many are out, cut wherever that changes. */
function clampsOf(holds: readonly Hold[], day: Span): ReadonlyMap<string, readonly Held[]> {
  const kinds = grouped(holds, ({ kind }) => kind);
  const out = [...kinds].map(([kind, own]) => [kind, profile(own, day)] as const);
  return new Map(out.filter(([, held]) => held.length > 0));
}

function profile(holds: readonly Hold[], day: Span): readonly Held[] {
  const cuts = [...new Set(cut(holds, day).flatMap(({ from, to }) => [from, to]))].sort((a, b) => a - b);
  return cuts.slice(1).flatMap((to, n) => {
    const from = cuts[n] ?? to;
    const count = holds.reduce((sum, hold) => sum + (hold.from <= from && to <= hold.to ? hold.count : 0), 0);
    const taken = holds.some((hold) => hold.from === from);
    const given = holds.some((hold) => hold.to === to);
    return count ? [{ from, to, count, taken, given }] : [];
  });
}

/** In order of the first of each name. */
function grouped<Piece>(all: readonly Piece[], nameOf: (one: Piece) => string): ReadonlyMap<string, readonly Piece[]> {
  const groups = new Map<string, Piece[]>();
  for (const one of all) groups.set(nameOf(one), [...(groups.get(nameOf(one)) ?? []), one]);
  return groups;
}

/** The parts of these spans that fall into `within`. */
function cut<Piece extends Span>(spans: readonly Piece[], within: Span): readonly Piece[] {
  return spans
    .map((span) => ({ ...span, from: Math.max(span.from, within.from), to: Math.min(span.to, within.to) }))
    .filter(({ from, to }) => from < to);
}

function nextMidnight(ms: number): number {
  return new Date(ms).setHours(24, 0, 0, 0);
}
