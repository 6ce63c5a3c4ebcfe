/** After the browser has thrown the phone's store away under the open page: what is in memory is written down again. */
import type { BuildSummary } from "../bench/loaded_builds.ts";
import type { Raw } from "../bench/read.ts";
import type { Stamp } from "../wire.gen.ts";
import { type Database, metaIn, putMeta, write } from "./database.ts";
import { putHappenings, putSummaries } from "./outbox.ts";

/** What a page has in memory. unsent: with their numbers, as far as the page knows; the server may have some of them. */
export type Memory = {
  readonly device: string;
  readonly stamp: Stamp | null;
  readonly happenings: readonly Raw[];
  readonly summaries: readonly BuildSummary[];
  readonly unsent: readonly Raw[];
};

/**
 * Writes it all into a store that was emptied; gives whether it was.
 *
 * The server is then asked from the start, and for what it lacks: to have confirmed a number beyond the last one makes
 * the next sync do that.
 */
export function writeBack(db: Database, memory: Memory): Promise<boolean> {
  return write(db, "strict", async (tx) => {
    if ((await metaIn(tx)).device !== "") return false;
    const n = Math.max(0, ...memory.unsent.map((raw) => raw.n));
    await Promise.all([
      putMeta(tx, { device: memory.device, stamp: memory.stamp, n, taken_to: n + 1 }),
      putHappenings(tx, [...memory.happenings, ...memory.unsent]),
      putSummaries(tx, memory.summaries),
      ...memory.unsent.map(async (raw) => tx.objectStore("outbox").put(raw, raw.n)),
    ]);
    return true;
  });
}
