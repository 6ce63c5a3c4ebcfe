/**
 * How much no server has yet, marked beside the phone's store: should the browser throw the store away while the page
 * is closed, the page can say what went with it. Where a browser keeps no such mark, or throws it away too, it is null.
 */

/** things, photos: recorded and taken here, and with no server yet. */
export type Unsent = { readonly things: number; readonly photos: number };

const NAME = "benchbell-unsent";

/** Marks it. Never throws. */
export function markUnsent({ things, photos }: Unsent): void {
  try {
    localStorage.setItem(NAME, JSON.stringify({ things, photos }));
  } catch {
    // a window that may keep nothing, or a full phone: then there is no mark
  }
}

/** What was marked last; null for nothing, or nothing that can be read. Never throws. */
export function readMark(): Unsent | null {
  try {
    const { things, photos } = JSON.parse(localStorage.getItem(NAME) ?? "null");
    return [things, photos].every(Number.isSafeInteger) ? { things, photos } : null;
  } catch {
    return null;
  }
}
