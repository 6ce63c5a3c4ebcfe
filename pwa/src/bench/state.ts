/**
 * What a build's happenings mean: each operation's and part's state, with no look at any clock.
 *
 * Twin of bench/state.py, where the reasons stand.
 */
import type {
  Bench,
  Happening,
  Operation,
  OperationState,
  PartState,
  Sheet,
  Size,
  Stamp,
  Started,
} from "../wire.gen.ts";
import { Book, CLOCK, compare, compareStamps, compareText } from "./book.ts";
import { HAPPENINGS, MARKS } from "./happening_kinds.ts";
import { asBuilt, boundedSizes, keptOpen } from "./measured.ts";
import { type Inside, latest, members, NEVER, nextOperations, type Spoils, spoils } from "./parts.ts";
import { standing, takenDown } from "./stations.ts";

export type Status = OperationState["status"];

type Marks = ReadonlyMap<string, Happening>;

/** The state after these happenings, in whatever order and however often they came. */
export function stateOf(happenings: Iterable<Happening>): Bench | null {
  const book = new Book();
  for (const h of happenings) book.add(h);
  return benchOf(book);
}

/** The state a book tells of; null before the build's beginning has arrived. */
export function benchOf(book: Book): Bench | null {
  const started = book.started();
  if (!started) return null;
  const { sheet } = started;
  const whole = book.changesOf("started", "spoiled", "remade");
  const { inside, spoilt } = book.remember("whole", whole, () => wholeOf(book, sheet));
  const bounded = boundedSizes(sheet);
  const own = new Map(
    sheet.operations.map((op) => [op.id, gated(book, op, rememberedState(book, op, spoilt, whole), bounded)]),
  );
  const operations = Object.fromEntries(sheet.operations.map((op) => [op.id, waiting(op, own)]));
  return {
    operations,
    parts: partStates(book, started, inside, operations, spoilt.lost),
    as_built: book.remember("sizes", whole + book.changesOf("measured", CLOCK), () => asBuilt(book, sheet)),
    stations: standing(book, sheet),
    closed: book.latest("closed")?.what.closed ?? false,
    finished: Object.values(operations).every((state) => state.status === "done"),
    unknown: book.unknown,
    taken_down: takenDown(book, sheet),
  };
}

/** What concerns the build as a whole: what is in what, and what is lost. */
function wholeOf(book: Book, sheet: Sheet): { readonly inside: Inside; readonly spoilt: Spoils } {
  const inside = members(sheet);
  return { inside, spoilt: spoils(book, inside) };
}

/** The operation's state, worked out again only when one of its happenings, or the whole, changed. */
function rememberedState(book: Book, op: Operation, spoilt: Spoils, whole: number): OperationState {
  const changes = whole + book.changesOf(op.id, CLOCK);
  return book.remember(`operation|${op.id}`, changes, () => operationState(book, op, spoilt));
}

/** An operation's state from its own happenings; what it waits for is added by `waiting`. */
function operationState(book: Book, op: Operation, spoilt: Spoils): OperationState {
  const fresh = (part: string) => spoilt.fresh.get(part) ?? NEVER;
  const since = latest(op.parts.map(fresh));
  const marks = liveMarks(book, op, since);
  const moments = [...marks].map(([kind, h]) => [kind, book.moment(h)] as const);
  const lost = op.parts.filter((part) => spoilt.lost.has(part));
  const status = statusOf(marks, lost.length > 0);
  const air = (marks.get("glue-on") ?? marks.get("coat-on"))?.what;
  const isAir = air?.kind === "glue-on" || air?.kind === "coat-on";
  return {
    status,
    marks: Object.fromEntries(moments.map(([kind, { ms }]) => [kind, ms])),
    stamps: Object.fromEntries([...marks].map(([kind, h]) => [kind, h.at.ms])),
    unsteady: Object.fromEntries(moments.filter(([, { clock }]) => clock !== "steady")),
    left: status === "done" ? [] : op.parts.filter((part) => !isThrough(book, op.id, part, fresh(part))),
    waits_for: [],
    lost,
    checks: checks(book, op, since),
    reasons: reasons(marks),
    lengthened: lengthened(book, op, marks),
    heard: heard(book, op),
    celsius: isAir ? (air.celsius ?? null) : null,
    humidity: isAir ? (air.humidity ?? null) : null,
    to_measure: [],
  };
}

/** The marks that count: later than `since`, and after what they must follow; and the last part's tick. */
function liveMarks(book: Book, op: Operation, since: Stamp): Marks {
  const marks = new Map<string, Happening>();
  for (const kind of MARKS) {
    const h = book.latest(kind, op.id);
    if (h && compareStamps(h.at, since) > 0) marks.set(kind, h);
  }
  for (const kind of MARKS) {
    const mark = marks.get(kind);
    if (mark && HAPPENINGS[kind].follows.some((earlier) => isBefore(mark, marks.get(earlier)))) marks.delete(kind);
  }
  const ticks = op.parts.flatMap((part) => book.latest("ticked", op.id, part) ?? []);
  const last = ticks
    .filter((h) => compareStamps(h.at, since) > 0)
    .sort(compare)
    .at(-1);
  if (last) marks.set("ticked", last);
  return marks;
}

function isBefore(mark: Happening, other: Happening | undefined): boolean {
  return other !== undefined && compareStamps(mark.at, other.at) < 0;
}

/** How far the marks say the operation is; "ready" where nothing was begun. */
function statusOf(marks: Marks, isLost: boolean): Status {
  if (isLost) return "spoiled";
  if (marks.has("clamped") && !marks.has("clamps-off")) return "in-clamps";
  if (marks.has("finished")) return "done";
  return marks.size ? "in-hand" : "ready";
}

/** Whether this part has been through the operation since it was last begun again. */
function isThrough(book: Book, operation: string, part: string, fresh: Stamp): boolean {
  const done = [book.latest("ticked", operation, part), book.latest("finished", operation)];
  return done.some((h) => h !== undefined && compareStamps(h.at, fresh) > 0);
}

/** The same state, "waiting" where it is finished, and what it measured is not within its bounds. */
function gated(book: Book, op: Operation, state: OperationState, bounded: ReadonlyMap<string, Size>): OperationState {
  const finished = bounded.size && state.status === "done" ? book.latest("finished", op.id) : undefined;
  const toMeasure = keptOpen(book, op, finished, bounded);
  return toMeasure.length ? { ...state, status: "waiting", to_measure: toMeasure } : state;
}

/** The same state, "waiting" where earlier operations are not done yet. */
function waiting(op: Operation, own: ReadonlyMap<string, OperationState>): OperationState {
  const state = own.get(op.id) as OperationState;
  if (state.status === "done") return state;
  const first = op.after.filter((id) => own.get(id)?.status !== "done");
  if (!first.length) return state;
  return { ...state, waits_for: first, status: state.status === "ready" ? "waiting" : state.status };
}

/** By the check's number, whether it was good when last looked at. */
function checks(book: Book, op: Operation, since: Stamp): Readonly<Record<string, boolean>> {
  const looked = (op.checks ?? []).map((_, n) => [n, book.latest("checked", op.id, String(n))] as const);
  return Object.fromEntries(
    looked.flatMap(([n, h]) => (h && compareStamps(h.at, since) > 0 ? [[String(n), h.what.good]] : [])),
  );
}

/** By kind, the words given with a mark. */
function reasons(marks: Marks): Readonly<Record<string, string>> {
  return Object.fromEntries(
    [...marks].flatMap(([kind, { what }]) => (what && "reason" in what && what.reason ? [[kind, what.reason]] : [])),
  );
}

/** By clock, the milliseconds added since it started. */
function lengthened(book: Book, op: Operation, marks: Marks): Readonly<Record<string, number>> {
  const added = op.clocks.flatMap(({ kind, starts }) => {
    const start = marks.get(starts);
    const more = book.all("lengthened", op.id, kind).filter((h) => start && compareStamps(h.at, start.at) > 0);
    return more.length ? [[kind, more.reduce((sum, h) => sum + h.what.by_ms, 0)]] : [];
  });
  return Object.fromEntries(added);
}

/** Rings that were acknowledged since their clock was last lengthened, in order of their names. */
function heard(book: Book, op: Operation): readonly string[] {
  const since = new Map(op.clocks.map(({ kind }) => [`${kind}`, book.latest("lengthened", op.id, kind)?.at ?? NEVER]));
  const rings = book
    .all("acknowledged", op.id)
    .filter(({ at, what }) => compareStamps(at, since.get(what.ring.split("|")[0] ?? "") ?? NEVER) > 0)
    .map(({ what }) => what.ring);
  return [...new Set(rings)].sort(compareText);
}

/** Every part's and assembly's state, by id. */
function partStates(
  book: Book,
  started: Started,
  inside: Inside,
  operations: Readonly<Record<string, OperationState>>,
  lost: ReadonlySet<string>,
): Readonly<Record<string, PartState>> {
  const joined = started.sheet.assemblies.filter((assembly) => isJoined(operations[assembly.by]));
  const gluedUp = new Map(joined.flatMap((assembly) => assembly.of.map((one) => [one, assembly.id])));
  const done = new Set(Object.keys(operations).filter((id) => operations[id]?.status === "done"));
  const coming = nextOperations(started.sheet, inside, done);
  const state = (id: string): PartState => ({
    spoiled: lost.has(id),
    ...codesOf(book, id, started.codes[id] ?? ""),
    inside: gluedUp.get(id) ?? null,
    next: coming.get(id) ?? null,
  });
  return Object.fromEntries([...inside.keys()].map((id) => [id, state(id)]));
}

/** Whether the operation that makes an assembly has put its parts together. */
function isJoined(state: OperationState | undefined): boolean {
  return state !== undefined && ("clamped" in state.marks || "finished" in state.marks);
}

/** Its label's code now, and those before; `first` is the one it began with. */
function codesOf(book: Book, id: string, first: string): Pick<PartState, "code" | "old_codes"> {
  const codes = [first, ...book.all("remade", id).map(({ what }) => what.code)];
  return { code: codes.at(-1) ?? "", old_codes: codes.slice(0, -1) };
}
