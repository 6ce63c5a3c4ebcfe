/** Lists that stay the same object until something in them changes, so that nothing is drawn anew in vain. */
import { computed, type ReadonlySignal } from "@preact/signals";

/** A computed list of flat records. */
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
