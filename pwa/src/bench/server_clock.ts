/**
 * When something happened, whatever the server's clock was set to meanwhile.
 *
 * Twin of bench/server_clock.py, where the reasons stand.
 */
import type { ClockSet, Happening, Moment, When } from "../wire.gen.ts";

/** The server's own name among the devices. */
export const SERVER = "0".repeat(16);

/** One setting of the server's clock. ms: when it was set, by the clock as it was set then. recorded: the entry. */
export type Setting = { readonly what: ClockSet; readonly ms: number; readonly recorded: Happening };

/** The settings among these happenings, by base; of two with one base the later stamp counts. Only the server's own. */
export function settingsOf(happenings: readonly Happening[]): readonly Setting[] {
  const byBase = new Map<number, Setting>();
  for (const h of happenings.filter(({ at }) => at.device === SERVER).sort(inOrder))
    if (h.what?.kind === "clock-set") byBase.set(h.what.base, { what: h.what, ms: whenOf(h).ms, recorded: h });
  return [...byBase.values()].sort((a, b) => a.what.base - b.what.base);
}

function inOrder(a: Happening, b: Happening): number {
  return a.at.ms - b.at.ms || a.at.counter - b.at.counter || (a.id < b.id ? -1 : 1);
}

/** When it was recorded, by the clock as it was set then; of an entry from before bases were kept, its stamp. */
export function whenOf({ at, when }: Pick<Happening, "at" | "when">): Required<When> {
  return { ms: when?.ms ?? at.ms, base: when?.base ?? 0 };
}

/** The moment by the clock as it is now. */
export function momentOf(when: Required<When>, settings: readonly Setting[]): Moment {
  let { ms } = when;
  let clock: Moment["clock"] = "steady";
  let voidFrom = Number.POSITIVE_INFINITY;
  const unsure: number[] = [];
  for (const { what, ms: set } of [...settings].reverse()) {
    if (what.base <= when.base) break;
    clock = "set";
    if (what.base > voidFrom) continue;
    if (when.base >= what.since) ms += what.by_ms;
    else if (what.earlier_ms === null || what.earlier_ms === undefined) voidFrom = what.since;
    else {
      ms += what.earlier_ms;
      unsure.push(momentOf({ ms: set, base: what.base }, settings).ms);
    }
  }
  return unsure.length ? { ms, clock: "unsure", unsure_ms: Math.min(...unsure) } : { ms, clock, unsure_ms: null };
}
