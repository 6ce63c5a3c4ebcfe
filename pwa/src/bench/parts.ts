/** What is joined in what, what was spoiled, and what that reopens. Twin of bench/parts.py. */
import type { Sheet, Stamp } from "../wire.gen.ts";
import { type Book, compareStamps } from "./book.ts";

/** Before every stamp. */
export const NEVER: Stamp = { ms: -1, counter: 0, device: "" };

/** For every part and assembly: itself and all that is joined in it, at any depth. */
export type Inside = ReadonlyMap<string, readonly string[]>;

/**
 * What is lost, and from when on work counts for each part and assembly (NEVER: from the start).
 *
 * lost: is spoiled, or has something spoiled in it, and was not begun again.
 * fresh: when it, or something in it, was begun again after it was last spoiled; spoiled, where it is lost.
 */
export type Spoils = { readonly lost: ReadonlySet<string>; readonly fresh: ReadonlyMap<string, Stamp> };

/** Inside, from the sheet. Assemblies stand in the order in which they are made. */
export function members(sheet: Sheet): Inside {
  const inside = new Map<string, readonly string[]>(sheet.parts.map((part) => [part.id, [part.id]]));
  for (const assembly of sheet.assemblies)
    inside.set(assembly.id, [assembly.id, ...assembly.of.flatMap((joined) => inside.get(joined) ?? [])]);
  return inside;
}

/** What was spoiled and remade, each itself or together with an assembly it is in. */
export function spoils(book: Book, inside: Inside): Spoils {
  const spoilt = stampsWithin(book, "spoiled", inside);
  const remade = stampsWithin(book, "remade", inside);
  const gone = new Set<string>();
  const own = new Map<string, Stamp>();
  for (const id of inside.keys()) {
    const last = latest(spoilt.get(id) ?? []);
    const again = (remade.get(id) ?? []).filter((at) => last !== NEVER && compareStamps(at, last) > 0);
    if (last !== NEVER && !again.length) gone.add(id);
    own.set(id, again.length ? again.reduce((a, b) => (compareStamps(a, b) <= 0 ? a : b)) : last);
  }
  const ids = [...inside];
  return {
    lost: new Set(ids.filter(([, joined]) => joined.some((one) => gone.has(one))).map(([id]) => id)),
    fresh: new Map(ids.map(([id, joined]) => [id, latest(joined.map((one) => own.get(one) ?? NEVER))])),
  };
}

/** The latest of some stamps; NEVER where there are none. */
export function latest(stamps: readonly Stamp[]): Stamp {
  return stamps.reduce((a, b) => (compareStamps(a, b) >= 0 ? a : b), NEVER);
}

/** All stamps of a kind for each part and assembly: its own, and those of assemblies it is in. */
function stampsWithin(book: Book, kind: "spoiled" | "remade", inside: Inside): ReadonlyMap<string, Stamp[]> {
  const found = new Map<string, Stamp[]>();
  for (const [id, joined] of inside)
    for (const { at } of book.all(kind, id)) for (const one of joined) found.set(one, [...(found.get(one) ?? []), at]);
  return found;
}

/** For each part or assembly, the first operation it still has to go through, alone or inside another. */
export function nextOperations(sheet: Sheet, inside: Inside, done: ReadonlySet<string>): ReadonlyMap<string, string> {
  const coming = new Map<string, string>();
  for (const op of sheet.operations)
    if (!done.has(op.id))
      for (const part of op.parts)
        for (const one of inside.get(part) ?? []) if (!coming.has(one)) coming.set(one, op.id);
  return coming;
}
