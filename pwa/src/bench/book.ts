/**
 * One build's happenings, ordered by what they settle.
 *
 * Twin of bench/book.py, where the reasons stand.
 */
import type { Happening, Moment, Stamp, Started } from "../wire.gen.ts";
import { HAPPENINGS, type HappeningKind } from "./happening_kinds.ts";
import { momentOf, type Setting, settingsOf, whenOf } from "./server_clock.ts";

export type What = NonNullable<Happening["what"]>;

/** A happening that says something of this kind. */
export type Of<K extends HappeningKind> = Happening & { readonly what: Extract<What, { readonly kind: K }> };

/** Below zero when a is earlier. Strings are compared by code unit, never by locale. */
export function compareStamps(a: Stamp, b: Stamp): number {
  return a.ms - b.ms || a.counter - b.counter || compareText(a.device, b.device);
}

/** Below zero when a stands before b; for ASCII, as Python sorts it. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Where a happening stands among others; the id decides where two stamps are the same. */
export function compare(a: Happening, b: Happening): number {
  return compareStamps(a.at, b.at) || compareText(a.id, b.id);
}

/** The slot this happening settles; null for a kind not known here. */
export function slotOf({ what }: Happening): string | null {
  if (!what) return null;
  const fields = what as unknown as Readonly<Record<string, unknown>>;
  return [what.kind, ...HAPPENINGS[what.kind].slot.map((field) => String(fields[field]))].join("|");
}

/** What changes with it: its operation where it is about one, else whatever hangs on its kind. */
export function subjectOf({ what }: Happening): string | null {
  if (!what) return null;
  return HAPPENINGS[what.kind].slot[0] === "operation" && "operation" in what ? what.operation : what.kind;
}

/** What changes with each setting of the server's clock, beside all operations and kinds. */
export const CLOCK = "server-clock";

/** Whether an undoing that counts undoes `h`, which it names. */
function undoes(undoing: Happening, h: Happening): boolean {
  return compareStamps(undoing.at, h.at) > 0 || h.what?.kind !== "undone";
}

/** What is known of one build. Grows by `add`; nothing is ever taken out. */
export class Book {
  readonly byId = new Map<string, Happening>();
  readonly bySlot = new Map<string, Happening[]>();
  unknown = 0;
  clockSettings: readonly Setting[] = [];
  private readonly undoings = new Map<string, Happening[]>();
  private readonly undone = new Set<string>();
  private readonly changes = new Map<string, number>();
  private readonly remembered = new Map<string, { readonly changes: number; readonly answer: unknown }>();

  /** Take one happening in; false when it was known already. */
  add(h: Happening): boolean {
    if (this.byId.has(h.id)) return false;
    this.byId.set(h.id, h);
    const slot = slotOf(h);
    if (slot === null) this.unknown += 1;
    else putInOrder(listIn(this.bySlot, slot), h);
    if (h.what?.kind === "clock-set") this.knowSettings(settingsOf(this.byKind("clock-set")));
    if (h.what?.kind === "undone") listIn(this.undoings, h.what.happening).push(h);
    this.settle(h);
    return true;
  }

  /** All of one kind, in no order, whether they count or not. */
  private byKind(kind: HappeningKind): Happening[] {
    return [...this.bySlot].flatMap(([slot, known]) => (slot.split("|")[0] === kind ? known : []));
  }

  /** Takes over how the server's clock was set, which is recorded in the shop's book; gives whether that is news. */
  knowSettings(settings: readonly Setting[]): boolean {
    const ids = (known: readonly Setting[]) => known.map(({ recorded }) => recorded.id).join();
    if (ids(settings) === ids(this.clockSettings)) return false;
    this.clockSettings = settings;
    this.changes.set(CLOCK, (this.changes.get(CLOCK) ?? 0) + 1);
    return true;
  }

  /** When it happened, by the server's clock as it is now. */
  moment(h: Pick<Happening, "at" | "when">): Moment {
    return momentOf(whenOf(h), this.clockSettings);
  }

  /** Tell whether a new one counts; then whether what it undoes does, and so on while that turns. */
  private settle(added: Happening): void {
    if (this.isStruck(added)) this.undone.add(added.id);
    this.markChanged(added);
    let h = this.target(added);
    while (h && this.isStruck(h) !== this.undone.has(h.id)) {
      if (!this.undone.delete(h.id)) this.undone.add(h.id);
      this.markChanged(h);
      h = this.target(h);
    }
  }

  /** Whether an undoing that counts meets it. */
  private isStruck(h: Happening): boolean {
    const undoings = this.undoings.get(h.id) ?? [];
    return undoings.some((u) => !this.undone.has(u.id) && undoes(u, h));
  }

  /** What an undoing undoes, where that is known here. */
  private target(h: Happening): Happening | undefined {
    return h.what?.kind === "undone" ? this.byId.get(h.what.happening) : undefined;
  }

  /** Whatever was worked out from its subject is out of date. */
  private markChanged(h: Happening): void {
    const subject = subjectOf(h);
    if (subject !== null) this.changes.set(subject, (this.changes.get(subject) ?? 0) + 1);
  }

  /** How often any of these changed: an operation, or a kind that is about none. */
  changesOf(...subjects: readonly string[]): number {
    return subjects.reduce((sum, subject) => sum + (this.changes.get(subject) ?? 0), 0);
  }

  /** The answer of `work`, worked out again only after more changes. */
  remember<Answer>(name: string, changes: number, work: () => Answer): Answer {
    const known = this.remembered.get(name);
    if (known?.changes === changes) return known.answer as Answer;
    const answer = work();
    this.remembered.set(name, { changes, answer });
    return answer;
  }

  /** Whether it is not undone. */
  counts(h: Happening): boolean {
    return !this.undone.has(h.id);
  }

  /** What counts in a slot, earliest first. */
  all<K extends HappeningKind>(kind: K, ...subjects: readonly string[]): readonly Of<K>[] {
    const known = this.bySlot.get([kind, ...subjects].join("|")) ?? [];
    return known.filter((h): h is Of<K> => this.counts(h));
  }

  /** The happening that settles the slot, if any. */
  latest<K extends HappeningKind>(kind: K, ...subjects: readonly string[]): Of<K> | undefined {
    const known = this.bySlot.get([kind, ...subjects].join("|"));
    return known?.findLast((h): h is Of<K> => this.counts(h));
  }

  /** The build's beginning, with its sheet; undefined until it has arrived. */
  started(): Started | undefined {
    return this.latest("started")?.what;
  }

  /** Every happening that counts, earliest first. */
  effective(): readonly Happening[] {
    return [...this.byId.values()].filter((h) => this.counts(h)).sort(compare);
  }
}

function listIn(lists: Map<string, Happening[]>, name: string): Happening[] {
  const known = lists.get(name) ?? [];
  lists.set(name, known);
  return known;
}

/** Most come in order, so that looking from the end finds the place at once. */
function putInOrder(list: Happening[], h: Happening): void {
  list.splice(list.findLastIndex((earlier) => compare(earlier, h) <= 0) + 1, 0, h);
}
