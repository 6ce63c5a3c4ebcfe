/** The books of all builds that are loaded here, each with what it means. */
import type { Bench, Happening, Sheet, ShopState } from "../wire.gen.ts";
import { Book } from "./book.ts";
import { clocks } from "./clocks.ts";
import { type Raw, rawOf, readable } from "./read.ts";
import { leftAlone } from "./reopened.ts";
import type { Setting } from "./server_clock.ts";
import { shopOf } from "./shop.ts";
import { benchOf } from "./state.ts";

/** The build of what concerns the whole shop. */
export const SHOP = "";

/** One build as this phone knows it. bench: without waits for work that only a spoiled part has opened again. */
export type BuildView = {
  readonly id: string;
  readonly name: string;
  readonly sheet: Sheet;
  readonly codes: Readonly<Record<string, string>>;
  readonly book: Book;
  readonly bench: Bench;
};

/**
 * What is known of a build without its book.
 *
 * runs: a clock of it runs, finished or not. unknown: happenings only a newer page can read. labels: all codes.
 */
export type BuildSummary = {
  readonly id: string;
  readonly name: string;
  readonly title: string;
  readonly pieces: number;
  readonly done: number;
  readonly operations: number;
  readonly finished: boolean;
  readonly closed: boolean;
  readonly runs: boolean;
  readonly started_ms: number;
  readonly unknown: number;
  readonly labels: readonly string[];
};

/** Books in memory, by build; the shop's own under SHOP. */
export class LoadedBuilds {
  /** The shop's book is here from the start, even while it is empty. */
  private readonly books = new Map<string, Book>([[SHOP, new Book()]]);

  /** Whether the build's book is here. */
  has(build: string): boolean {
    return this.books.has(build);
  }

  /** Put happenings where they belong; the builds in which something is new. */
  add(raws: Iterable<Raw>): ReadonlySet<string> {
    const touched = new Set<string>();
    for (const raw of raws) if (this.bookOf(raw.build).add(readable(raw))) touched.add(raw.build);
    for (const [build, book] of this.books) if (book.knowSettings(this.clockSettings())) touched.add(build);
    return touched;
  }

  /** Put a book away that is not needed at hand. */
  drop(build: string): void {
    this.books.delete(build);
  }

  /** The build and what it means; null until its beginning has arrived. */
  view(build: string): BuildView | null {
    const book = this.books.get(build);
    const started = book?.started();
    const bench = book && benchOf(book);
    if (!book || !started || !bench) return null;
    const { name, sheet, codes } = started;
    return { id: build, name, sheet, codes, book, bench: leftAlone(sheet, bench) };
  }

  /** How the server's clock was set, as far as is known here. */
  clockSettings(): readonly Setting[] {
    return this.bookOf(SHOP).clockSettings;
  }

  /** Settings and air. */
  shop(): ShopState {
    return shopOf(this.bookOf(SHOP));
  }

  /** A happening of a loaded build. */
  find(build: string, id: string): Happening | undefined {
    return this.books.get(build)?.byId.get(id);
  }

  /** All happenings of loaded books, to the letter; without those that only a newer page can read. */
  raws(): readonly Raw[] {
    return [...this.books.values()].flatMap((book) => [...book.byId.values()].flatMap(rawOf));
  }

  private bookOf(build: string): Book {
    const book = this.books.get(build) ?? new Book();
    this.books.set(build, book);
    return book;
  }
}

/** What a list shows of a build. */
export function summaryOf({ id, name, sheet, book, bench }: BuildView): BuildSummary {
  const states = Object.values(bench.operations);
  return {
    id,
    name,
    title: sheet.title,
    pieces: sheet.pieces.length,
    done: states.filter(({ status }) => status === "done").length,
    operations: states.length,
    finished: bench.finished,
    closed: bench.closed,
    runs: clocks(sheet, bench, [], Number.MAX_SAFE_INTEGER).length > 0,
    started_ms: startedMs(book),
    unknown: bench.unknown,
    labels: Object.values(bench.parts).flatMap(({ code, old_codes }) => [code, ...old_codes]),
  };
}

function startedMs(book: Book): number {
  const started = book.latest("started");
  return started ? book.moment(started).ms : 0;
}

/** Whether its clocks and operations still matter at the bench. */
export function isOpen({ finished, closed }: Pick<BuildSummary, "finished" | "closed">): boolean {
  return !finished && !closed;
}

/** Whether its book has to be at hand: there is work in it, or something of it may still ring. */
export function isNeeded(build: Pick<BuildSummary, "finished" | "closed" | "runs">): boolean {
  return isOpen(build) || build.runs;
}

/** Open ones first, then the newest first. */
export function byAge(a: BuildSummary, b: BuildSummary): number {
  return Number(isOpen(b)) - Number(isOpen(a)) || b.started_ms - a.started_ms || (a.id < b.id ? -1 : 1);
}

/** A part or assembly of a build here, by its label. old: the label is of a spoiled one, which was made again. */
export type Bearer = { readonly view: BuildView; readonly id: string; readonly old: boolean };

/** The part or assembly that has this label, or had it before it was made again; null when none has it. */
export function bearerOf(views: readonly BuildView[], code: string): Bearer | null {
  for (const view of views)
    for (const [id, part] of Object.entries(view.bench.parts)) {
      if (part.code === code) return { view, id, old: false };
      if (part.old_codes.includes(code)) return { view, id, old: true };
    }
  return null;
}
