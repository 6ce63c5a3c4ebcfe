/** Why something is offered where it stands, in a sentence; "" where none would change a maker's mind. */
import { show, TIME } from "../recipe/measure.ts";
import type { Candidate } from "./candidates.ts";
import { isForTheNight, isTooLong, type Times } from "./ranking.ts";
import { longestWait, type Wait, waitIsFor } from "./waits.ts";

/** Other work is fitted into a wait of so many minutes. Common practice, no source. */
const WORTH_FILLING = 30;
/** A way that is longer by so many minutes than any other makes a build late first. Common practice, no source. */
const MUCH_LONGER = 60;

/** The reason of one candidate. n: its place among all that are ready. */
export function reasonFor(one: Candidate, times: Times, n: number, ready: readonly Candidate[]): string {
  const longest = longestWait(one.op);
  if (one.busy) return `Somebody is at the ${one.op.station}: “${one.busy.title}”.`;
  if (one.again.length) return `Once more, for what is made again: ${listedParts(one)}.`;
  if (isTooLong(one, times) && times.wait) return longerThan(times.wait);
  const quiet = waitIsFor(one.op);
  if (quiet !== "rest" && isForTheNight(one, times))
    return `Starts a ${time(longest)} wait: it can ${quiet} overnight.`;
  if (one.setup === "stands") return standsReason(one);
  if (one.setup === "breaks") return `Changes the ${one.op.station}, set for “${one.need.next?.title ?? ""}”.`;
  if (longest >= WORTH_FILLING && ready.length > 1) return `Starts a ${time(longest)} wait: other work fits into it.`;
  if (n === 0 && isMuchLonger(one, ready)) return `The longest way to go begins here: ${roughly(one.tail)}.`;
  return "";
}

function listedParts({ build: { sheet }, again }: Candidate): string {
  const titles = sheet.parts.filter(({ id }) => again.includes(id)).map(({ title }) => title);
  return [...new Set(titles)].join(", ");
}

/** "Longer than the 14 min until the squeeze-out can be pared." */
export function longerThan({ minutes, until }: Wait): string {
  return `Longer than the ${time(minutes)} until ${until}.`;
}

/** Whether what hangs on it takes much longer than all that could be done instead. */
function isMuchLonger(one: Candidate, ready: readonly Candidate[]): boolean {
  const others = ready.filter((other) => other !== one);
  return others.length > 0 && others.every(({ tail }) => one.tail - tail >= MUCH_LONGER);
}

function standsReason({ op, need: { run, left } }: Candidate): string {
  if (run > 1) return `Same setup at the ${op.station} as the last ${run}: ${counted(left)} to go.`;
  return `The ${op.station} is set for this: ${counted(left)} to go.`;
}

function counted(parts: number): string {
  return parts === 1 ? "1 part" : `${parts} parts`;
}

/** Work and waits in whole hours, or in days where it is long: "about 19 h with its waits". */
function roughly(minutes: number): string {
  const [hours, days] = [Math.round(minutes / 60), Math.round(minutes / 1440)];
  return `about ${days >= 2 ? `${days} days` : `${hours} h`} with its waits`;
}

/** Whole minutes, as `1 h 30 min`. */
export function time(minutes: number): string {
  return show(Math.max(1, Math.floor(minutes)), TIME, "mm");
}
