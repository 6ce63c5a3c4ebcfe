/** A queue of pairs by priority: the least comes out first. A list with the least pair on top, as Python's heapq has it. */

/** A priority, and what has it; among equal priorities the least number comes first. */
export type Entry = readonly [at: number, what: number];

/** Put a pair into the heap. */
export function push(heap: Entry[], entry: Entry): void {
  let place = heap.length;
  heap.push(entry);
  while (place > 0) {
    const above = (place - 1) >> 1;
    const other = heap[above] as Entry;
    if (!isLess(entry, other)) break;
    heap[place] = other;
    place = above;
  }
  heap[place] = entry;
}

/** Take the least pair out of the heap; undefined when there is none. */
export function pop(heap: Entry[]): Entry | undefined {
  const least = heap[0];
  const last = heap.pop();
  if (last === undefined || heap.length === 0) return least;
  let place = 0;
  for (;;) {
    let below = 2 * place + 1;
    if (below >= heap.length) break;
    if (below + 1 < heap.length && isLess(heap[below + 1] as Entry, heap[below] as Entry)) below += 1;
    const other = heap[below] as Entry;
    if (!isLess(other, last)) break;
    heap[place] = other;
    place = below;
  }
  heap[place] = last;
  return least;
}

function isLess(one: Entry, other: Entry): boolean {
  return one[0] < other[0] || (one[0] === other[0] && one[1] < other[1]);
}
