/** Signals that are on the next day what they were left at: each phone's own choices, sent to nobody. */
import { effect, type Signal, signal } from "@preact/signals";
import { type Database, keep, readKept } from "./store/database.ts";

const recalls: ((db: Database) => Promise<void>)[] = [];

/** fits: whether what an older page kept can still be used. */
export function persisted<T>(name: string, usual: T, fits: (kept: unknown) => kept is T): Signal<T> {
  const choice = signal(usual);
  recalls.push(async (db) => {
    const kept = await readKept(db, name);
    if (fits(kept)) choice.value = kept;
    effect(() => void keep(db, name, choice.value).catch(console.error));
  });
  return choice;
}

/** Brings all of them back, and keeps them from now on. */
export async function recall(db: Database): Promise<void> {
  await Promise.all(recalls.map((one) => one(db)));
}
