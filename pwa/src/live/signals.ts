/** Signals that the library lacks: kept on the phone, the same list until something changes, and waited for. */
import { computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { type Database, keep, readKept } from "../store/database.ts";

const recalls: ((db: Database) => Promise<void>)[] = [];
const keepers: ((db: Database) => Promise<void>)[] = [];

/**
 * A choice that this phone keeps until it is changed, and sends to nobody.
 *
 * name: under which it is kept. usual: until something was chosen. isUsable: whether what an older page kept can still
 * be used.
 */
export function persisted<T>(name: string, usual: T, isUsable: (kept: unknown) => kept is T): Signal<T> {
  const choice = signal(usual);
  recalls.push(async (db) => {
    const kept = await readKept(db, name);
    if (isUsable(kept)) choice.value = kept;
    effect(() => void keep(db, name, choice.value).catch(console.error));
  });
  keepers.push((db) => keep(db, name, choice.value));
  return choice;
}

/** Keeps the value of every persisted signal once more. Rejects with QuotaExceededError when the phone is full. */
export async function keepAgain(db: Database): Promise<void> {
  await Promise.all(keepers.map((one) => one(db)));
}

/** Gives every persisted signal the value that the phone kept, and keeps each change from now on. */
export async function recallAll(db: Database): Promise<void> {
  await Promise.all(recalls.map((one) => one(db)));
}

/** A computed list of flat records that stays the same object until a record changes, so that nothing is redrawn. */
export function stableList<Item extends object>(work: () => readonly Item[]): ReadonlySignal<readonly Item[]> {
  let known: readonly Item[] = [];
  return computed(() => {
    const found = work();
    if (found.length !== known.length || found.some((item, n) => !isAlike(item, known[n]))) known = found;
    return known;
  });
}

function isAlike(a: object, b: object | undefined): boolean {
  const [one, other] = [Object.entries(a), new Map(Object.entries(b ?? {}))];
  return one.length === other.size && one.every(([name, value]) => other.get(name) === value);
}

/** Resolves once `isSo` is true by the signals it reads, or after `mostMs` ms. Never rejects. */
export function waitUntil(isSo: () => boolean, mostMs: number): Promise<void> {
  return new Promise((resolve) => {
    const giveUp = setTimeout(() => stop(), mostMs);
    const so = computed(isSo);
    const end = effect(() => {
      if (so.value) queueMicrotask(() => stop());
    });
    function stop() {
      end();
      clearTimeout(giveUp);
      resolve();
    }
  });
}
