/** What the last tap on a batch recorded: it may be one thing of each of its operations. */
import { compare } from "../../bench/book.ts";
import type { Happening } from "../../wire.gen.ts";
import { storyOfOperation } from "../operation/story.ts";
import type { Work } from "../words/whose.ts";

/** A happening, and the operation of the batch that it is of. */
export type Told = { readonly work: Work; readonly happening: Happening };

/** What one tap records, it records within so many ms. */
const ONE_TAP_MS = 1000;

/**
 * The last thing that still counts, and what was recorded with it by the same tap, earliest first; empty before anything
 * was. Ticks are each a tap of their own.
 */
export function lastTap(works: readonly Work[]): readonly Told[] {
  const all = works.flatMap((work) =>
    storyOfOperation(work.view, work.operation).map((happening) => ({ work, happening })),
  );
  const story = all.sort((a, b) => compare(a.happening, b.happening));
  const last = story.at(-1);
  if (!last || last.happening.what?.kind === "ticked") return last ? [last] : [];
  const isWith = ({ happening: { at, what, id } }: Told) =>
    id !== last.happening.id &&
    what?.kind === last.happening.what?.kind &&
    at.device === last.happening.at.device &&
    last.happening.at.ms - at.ms < ONE_TAP_MS;
  const others = story.filter(isWith).filter(({ work }) => work !== last.work);
  const latest = new Map(others.map((one) => [one.work, one]));
  return [...latest.values(), last];
}
