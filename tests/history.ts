/** Random histories as Python writes them: everything that is told of a build at some moments. */
import { type Made, madeEntry } from "../pwa/src/alerts/calendar.ts";
import { readQuiet } from "../pwa/src/alerts/quiet.ts";
import { Book } from "../pwa/src/bench/book.ts";
import { clocks, heldBy, ringing, rings } from "../pwa/src/bench/clocks.ts";
import { type Advice, adviceFor } from "../pwa/src/bench/next.ts";
import { leading } from "../pwa/src/bench/planned.ts";
import { type Raw, readable } from "../pwa/src/bench/read.ts";
import { partMm, type Sizes, setValues, sizesOf } from "../pwa/src/bench/sizes.ts";
import { type OpenBuild, standsNow } from "../pwa/src/bench/standing.ts";
import { benchOf } from "../pwa/src/bench/state.ts";
import { sentence } from "../pwa/src/screens/words/happenings.ts";
import type { Bench, PlannedTask, Sheet } from "../pwa/src/wire.gen.ts";

type BriefReading = readonly [number, number, number | null];

/** Of each, whether the page knows its kind and it is of its form. */
export function areReadable(written: readonly Raw[]): readonly boolean[] {
  return written.map((raw) => readable(raw).what !== null);
}

/** Each happening in words; the first is the build's beginning. */
export function sentencesOf(written: readonly Raw[]): readonly string[] {
  const happened = written.map(readable);
  const [first] = happened;
  if (first?.what?.kind !== "started") throw new RangeError("a history begins with its build");
  const { sheet } = first.what;
  return happened.map(({ what }) => sentence(what, { sheet, units: sheet.units }));
}

export function stateOfRaw(written: readonly Raw[]): Bench | null {
  return benchOf(bookOf(written));
}

/** The same, looked at after every single happening. */
export function stateStepByStep(written: readonly Raw[]): Bench | null {
  const book = new Book();
  let bench: Bench | null = null;
  for (const raw of written) {
    book.add(readable(raw));
    bench = benchOf(book);
  }
  return bench;
}

export function benchAt(written: readonly Raw[], air: readonly BriefReading[], moments: readonly number[]): unknown {
  const book = bookOf(written);
  const [sheet, bench] = [book.started()?.sheet, benchOf(book)];
  if (!sheet || !bench) return null;
  const sizes = new Map(["", ...sheet.pieces].map((piece) => [piece, sizesOf(sheet, bench.as_built, piece)]));
  const of = (piece: string) => sizes.get(piece) as Sizes;
  return {
    bench,
    moments: moments.map((now) => at(sheet, bench, air, now)),
    sizes: Object.fromEntries([...sizes].map(([piece, found]) => [piece, Object.fromEntries(found)])),
    parts: Object.fromEntries(sheet.parts.map((part) => [part.id, partMm(part, of(part.piece))])),
    setups: Object.fromEntries(sheet.setups.map((setup) => [setup.id, setValues(setup, of(""))])),
    stands: Object.fromEntries(standsNow([{ id: "b", sheet, bench }])),
  };
}

/** The calendar entries that the phone makes of all running clocks. quiet: the shop's setting. */
export async function entriesAt(written: readonly Raw[], quiet: unknown, now: number): Promise<readonly Made[]> {
  const book = bookOf(written);
  const [started, bench] = [book.started(), benchOf(book)];
  if (!started || !bench) return [];
  const build = { id: written[0]?.build ?? "", name: started.name, sheet: started.sheet, bench };
  const running = clocks(build.sheet, bench, [], now);
  return Promise.all(running.map((clock) => madeEntry(build, clock, readQuiet(quiet), now)));
}

/** What the phone would put first at benches as they are, with the plan it has. */
export function adviceAt(
  open: readonly OpenBuild[],
  now: number,
  ends: number | null,
  steps: readonly PlannedTask[],
): Advice {
  const running = open.flatMap(({ id, sheet, bench }) =>
    clocks(sheet, bench, [], now).map((clock) => ({ ...clock, build: id })),
  );
  return adviceFor(open, running, now, { dayEnds: ends, planned: leading(steps, open, () => true) });
}

function at(sheet: Sheet, bench: Bench, air: readonly BriefReading[], now: number): unknown {
  const readings = air.map(([ms, celsius, humidity]) => ({ ms, celsius, humidity }));
  const running = clocks(sheet, bench, readings, now);
  const holds = sheet.operations.map((op) => [op.id, heldBy(op, running, now).map(({ kind }) => kind)]);
  return {
    running,
    rings: running.map((clock) => rings(clock, now)),
    ringing: ringing(bench, running, now),
    holds: Object.fromEntries(holds),
  };
}

function bookOf(written: readonly Raw[]): Book {
  const book = new Book();
  for (const raw of written) book.add(readable(raw));
  return book;
}
