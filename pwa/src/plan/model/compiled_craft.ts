/** What craft asks of a compiled problem: by kind of fault, the operations that can have it, by number. */
import type { Craft, Op, Problem, Station } from "../../wire.gen.ts";
import type { Hours } from "./hours.ts";
import { numbersOf } from "./precedence.ts";

/**
 * `after` should start at most `most` minutes after the attended end of `before`.
 *
 * least: the minimal lag between the two, also from the attended end. openOnly: beyond `least`, only minutes in working
 * hours count.
 */
export type WantedLag = {
  readonly before: number;
  readonly after: number;
  readonly least: number;
  readonly most: number;
  readonly openOnly: boolean;
};

/**
 * The operations that may be torn, that throw dust, and that are fiddly; wet: operation to its minutes.
 *
 * wanted: the links with a wanted lag. closings: when the shop closes for a long break, in order; the last is the end of
 * all hours. visits: by station, what coming back to it costs. here: the station where work was last done, -1 if none or
 * near. isDusty, isFiddly: by operation. starts: operation to the wanted lags by the clock that begin with its end.
 * touchy: by operation, whether closing time may spoil it or what follows. marks: by operation, whether dust or a start
 * after it depends on its end, or it is such a start.
 */
export type CompiledCraft = {
  readonly costs: Craft;
  readonly torn: readonly number[];
  readonly dusty: readonly number[];
  readonly wet: ReadonlyMap<number, number>;
  readonly fiddly: readonly number[];
  readonly wanted: readonly WantedLag[];
  readonly closings: readonly number[];
  readonly visits: readonly number[];
  readonly here: number;
  readonly wetUntil: number;
  readonly hands: number;
  readonly isDusty: readonly boolean[];
  readonly isFiddly: readonly boolean[];
  readonly starts: ReadonlyMap<number, readonly WantedLag[]>;
  readonly touchy: readonly boolean[];
  readonly marks: readonly boolean[];
};

/** Craft for these hours; null where no fault counts. stations: by number. */
export function compileCraft(problem: Problem, hours: Hours, stations: readonly Station[]): CompiledCraft | null {
  const { craft, ops } = problem;
  if (craft === null) return null;
  const isDusty = ops.map((op) => op.dusty && op.minutes > 0);
  const wanted = wantedLags(problem);
  const starts = new Map<number, WantedLag[]>();
  const ends = new Set<number>();
  for (const lag of wanted.filter((one) => !one.openOnly)) {
    const others = starts.get(lag.before);
    if (others) others.push(lag);
    else starts.set(lag.before, [lag]);
    ends.add(lag.after);
  }
  return {
    costs: craft,
    torn: which(ops, (op) => op.breakable && op.minutes > 0),
    dusty: which(ops, (_, n) => isDusty[n] as boolean),
    wet: new Map(ops.flatMap((op, n): [number, number][] => (op.wet ? [[n, op.wet]] : []))),
    fiddly: which(ops, (op) => op.fiddly),
    wanted,
    closings: closingsOf(hours, craft.long_break),
    visits: stations.map((station) => (station.near ? 0 : craft.visit)),
    here: stations.findIndex((station) => station.id === problem.here && !station.near),
    wetUntil: problem.wet_until,
    hands: problem.hands,
    isDusty,
    isFiddly: ops.map((op) => op.fiddly),
    starts,
    touchy: ops.map((op, n) => op.fiddly || op.breakable || starts.has(n)),
    marks: ops.map((op, n) => op.wet > 0 || starts.has(n) || ends.has(n)),
  };
}

function which(ops: readonly Op[], has: (op: Op, n: number) => boolean): number[] {
  return ops.flatMap((op, n) => (has(op, n) ? [n] : []));
}

function wantedLags(problem: Problem): WantedLag[] {
  const number = numbersOf(problem.ops);
  return problem.links.flatMap((link) => {
    if (link.wanted === null) return [];
    const before = number(link.before);
    const { runs } = problem.ops[before] as Op;
    const lag = { before, after: number(link.after), least: link.lag + runs, most: link.wanted + runs };
    return [{ ...lag, openOnly: link.wanted_open }];
  });
}

/** When windows end after which the shop stays closed for at least so many minutes, and the end of the last. */
function closingsOf(hours: Hours, longBreak: number): number[] {
  const { opens, closes } = hours;
  return closes.filter((end, k) => k === closes.length - 1 || (opens[k + 1] as number) - end >= longBreak);
}
