/** Happenings as the vectors write them: [id, ms or [ms, counter], a hex digit for the device, what, when]. */
import { readFileSync } from "node:fs";
import { type Entry, entryOf } from "../pwa/src/alerts/calendar.ts";
import { readQuiet } from "../pwa/src/alerts/quiet.ts";
import { due } from "../pwa/src/alerts/schedule.ts";
import { Book } from "../pwa/src/bench/book.ts";
import { clocks, heldBy, ringing, rings } from "../pwa/src/bench/clocks.ts";
import { holdsFixtures } from "../pwa/src/bench/fixtures.ts";
import { type Raw, readable } from "../pwa/src/bench/read.ts";
import { shopOf } from "../pwa/src/bench/shop.ts";
import { partMm, type Sizes, setValues, sizesOf } from "../pwa/src/bench/sizes.ts";
import { type Stands, standsNow } from "../pwa/src/bench/standing.ts";
import { benchOf } from "../pwa/src/bench/state.ts";
import { MINUTE_MS } from "../pwa/src/durations.ts";
import { roundHalfUp, type Units } from "../pwa/src/recipe/measure.ts";
import { sentence } from "../pwa/src/screens/words/happenings.ts";
import type { Bench, Clock, Reading, Sheet, ShopState } from "../pwa/src/wire.gen.ts";

/** when: [ms, base], or left out for an entry from before that was kept. */
export type Brief = readonly [
  string,
  number | readonly [number, number],
  string,
  Raw["what"],
  (readonly [number, number])?,
];

let recorded = 0;

/** Something recorded so many minutes after the build was started, on one phone. */
export function briefAt(minutes: number, kind: string, rest: Record<string, unknown>): Brief {
  return [`h${++recorded}`, minutes * MINUTE_MS + 1, "a", { kind, ...rest } as never];
}

type BriefReading = readonly [number, number, number | null];

/** A book of these happenings; before them the beginning of a build in tests/vectors, where one is named. */
export function bookOf(build: string | null, briefs: readonly Brief[]): Book {
  const book = new Book();
  if (build) book.add(happening(["start", 0, "0", beginning(build)]));
  for (const brief of briefs) book.add(happening(brief));
  return book;
}

/** What the bench says along a path; null where there is nothing. */
export function stateTold(build: string | null, briefs: readonly Brief[], path: readonly string[]): unknown {
  let found: unknown = benchOf(bookOf(build, briefs));
  for (const step of path) found = (found as Record<string, unknown> | null)?.[step] ?? null;
  return found;
}

/** What a happening says in the log, in the units the person reads. */
export function sentenceTold(build: string, what: Raw["what"], units: Units): string {
  return sentence(happening(["a", 1, "a", what]).what, { sheet: sheetOf(bookOf(build, [])), units });
}

export function shopTold(briefs: readonly Brief[]): ShopState {
  return shopOf(bookOf(null, briefs));
}

/** One clock of an operation; null when it does not run. */
export function clockTold(
  build: string,
  briefs: readonly Brief[],
  readings: readonly BriefReading[],
  now: number,
  operation: string,
  kind: string,
): Clock | null {
  const { running } = atMoment(build, briefs, readings, now);
  return running.find((clock) => clock.operation === operation && clock.kind === kind) ?? null;
}

/** The names of what rings. */
export function ringsTold(
  build: string,
  briefs: readonly Brief[],
  readings: readonly BriefReading[],
  now: number,
): readonly string[] {
  const { bench, running } = atMoment(build, briefs, readings, now);
  return ringing(bench, running, now).map(({ name }) => name);
}

/** All rings of one clock: [stage, moment]. */
export function stagesTold(
  build: string,
  briefs: readonly Brief[],
  readings: readonly BriefReading[],
  now: number,
  operation: string,
  kind: string,
): readonly (readonly [string, number])[] {
  const clock = clockTold(build, briefs, readings, now, operation, kind);
  return clock ? rings(clock, now).map(({ stage, at }) => [stage, at] as const) : [];
}

/** The names of what is to be heard, in order. quiet: the shop's setting. */
export function dueTold(build: string, briefs: readonly Brief[], quiet: unknown, now: number): readonly string[] {
  const { bench, running } = atMoment(build, briefs, [], now);
  const clocks = running.map((clock) => ({ ...clock, build: "b" }));
  return due(clocks, new Map([["b", bench]]), readQuiet(quiet), now).map(({ name }) => name);
}

/** The calendar entry of a clock; null when it does not run. quiet: the shop's setting. */
export function entryTold(
  build: string,
  briefs: readonly Brief[],
  quiet: unknown,
  now: number,
  operation: string,
  kind: string,
): Entry | null {
  const { sheet, bench } = atMoment(build, briefs, [], now);
  const clock = clockTold(build, briefs, [], now, operation, kind);
  const name = bookOf(build, briefs).started()?.name ?? "";
  return clock && entryOf({ id: "b", name, sheet, bench }, clock, readQuiet(quiet), now);
}

/** The kinds of clocks that hold an operation. */
export function holdsTold(
  build: string,
  briefs: readonly Brief[],
  readings: readonly BriefReading[],
  now: number,
  operation: string,
): readonly string[] {
  const { sheet, running } = atMoment(build, briefs, readings, now);
  const found = sheet.operations.find(({ id }) => id === operation);
  return found ? heldBy(found, running, now).map(({ kind }) => kind) : [];
}

/** The operations that hold their fixtures. */
export function heldTold(build: string, briefs: readonly Brief[]): readonly string[] {
  const book = bookOf(build, briefs);
  const states = benchOf(book)?.operations ?? {};
  return sheetOf(book)
    .operations.filter((op) => holdsFixtures(op, states))
    .map(({ id }) => id);
}

/** What the stations of several builds stand in; of each its id, which of the vectors' it is, and its briefs. */
export function standsTold(
  builds: readonly (readonly [string, string, readonly Brief[]])[],
): Readonly<Record<string, Stands>> {
  const books = builds.map(([id, build, briefs]) => ({ id, book: bookOf(build, briefs) }));
  const open = books.map(({ id, book }) => ({ id, sheet: sheetOf(book), bench: benchOf(book) as Bench }));
  return Object.fromEntries(standsNow(open));
}

/** One named size of a piece, to a thousandth. */
export function sizeTold(build: string, briefs: readonly Brief[], piece: string, name: string): unknown {
  const size = sizesAt(build, briefs, piece).sizes.get(name);
  return size && { ...size, value: toAThousandth(size.value) };
}

/** A part's size, to a thousandth. */
export function partTold(build: string, briefs: readonly Brief[], id: string): unknown {
  const { sheet, sizes } = sizesAt(build, briefs, id.split("/")[0] ?? "");
  const part = sheet.parts.find((one) => one.id === id);
  return part && partMm(part, sizes).map(toAThousandth);
}

/** What a setup is to be set to, to a thousandth. */
export function setupTold(build: string, briefs: readonly Brief[], piece: string, id: string): unknown {
  const { sheet, sizes } = sizesAt(build, briefs, piece);
  const setup = sheet.setups.find((one) => one.id === id);
  return (
    setup &&
    Object.fromEntries(Object.entries(setValues(setup, sizes)).map(([name, value]) => [name, toAThousandth(value)]))
  );
}

function sizesAt(
  build: string,
  briefs: readonly Brief[],
  piece: string,
): { readonly sheet: Sheet; readonly sizes: Sizes } {
  const book = bookOf(build, briefs);
  const sheet = sheetOf(book);
  return { sheet, sizes: sizesOf(sheet, benchOf(book)?.as_built ?? {}, piece) };
}

/** As close as both halves of a twin agree. */
function toAThousandth(value: number | null): number | null {
  return value === null ? null : roundHalfUp(value * 1000) / 1000;
}

function atMoment(
  build: string,
  briefs: readonly Brief[],
  readings: readonly BriefReading[],
  now: number,
): { readonly sheet: Sheet; readonly bench: Bench; readonly running: readonly Clock[] } {
  const book = bookOf(build, briefs);
  const air: Reading[] = readings.map(([ms, celsius, humidity]) => ({ ms, celsius, humidity }));
  const bench = benchOf(book) as Bench;
  return { sheet: sheetOf(book), bench, running: clocks(sheetOf(book), bench, air, now) };
}

function sheetOf(book: Book): Sheet {
  return book.started()?.sheet as Sheet;
}

function happening([id, at, device, what, when]: Brief) {
  const [ms, counter] = typeof at === "number" ? [at, 0] : at;
  const entry = { id, n: 1, at: { ms, counter, device: device.repeat(16) }, build: "b", about: [], what };
  return readable(when ? { ...entry, when: { ms: when[0], base: when[1] } } : entry);
}

function beginning(build: string): Raw["what"] {
  return JSON.parse(readFileSync(new URL(`vectors/${build}/started.json`, import.meta.url), "utf-8"));
}
