/**
 * The problem compiled to lists of whole numbers, once, so that thousands of schedules can be generated quickly.
 *
 * Operations, stations and setups become numbers, and kinds of clamps too (`clamps.ts`).
 */
import type { Op, Problem, Station } from "../../wire.gen.ts";
import { type Counts, clampCounts } from "./clamps.ts";
import { type CompiledCraft, compileCraft } from "./compiled_craft.ts";
import { hoursOfHand } from "./hands.ts";
import { endOf, type Hours, hoursOf, mornings } from "./hours.ts";
import { type MinLag, minLagsOf, numbersOf, topologicalOrder } from "./precedence.ts";

/** As a station: no station. As a setup: no setup. */
export const NONE = -1;

/** By operation, its neighbours in the precedence graph with the minimal lag between: (operation, minutes). */
export type Lags = readonly (readonly (readonly [operation: number, minutes: number])[])[];

/**
 * A maximal time lag: `after` should start at most `most` minutes after the attended end of `before`.
 *
 * least: the minimal lag between the same two, also from the attended end.
 */
export type MaxLag = {
  readonly before: number;
  readonly after: number;
  readonly least: number;
  readonly most: number;
};

/** A piece with a due time: its operations, when the last one should be done, and the weight of its tardiness. */
type Piece = { readonly ops: readonly number[]; readonly due: number; readonly weight: number };

/**
 * The problem as lists, by operation unless said otherwise; times in minutes.
 *
 * needed: minutes that must fit into one window, 1 for breakable work.
 * predecessors, successors: with minimal lags from the attended end of one to the start of the other. waits: how many
 * predecessors; sources: the operations without any. order: a topological order. takes, gives: clamps; free: by kind,
 * clamps that are free at the beginning.
 * setupMinutes[station][from][to], for setups alone: `settingMinutes` knows work without one too. standing: by station,
 * its setup at the beginning. by: operation to its latest start, where it has one. pieces: those with a due time.
 * piece: every operation's piece, numbered. mornings: when each day but the first begins, in order.
 * craft: null where no fault of craft counts.
 */
export type CompiledProblem = {
  readonly ids: readonly string[];
  readonly minutes: readonly number[];
  readonly needed: readonly number[];
  readonly runs: readonly number[];
  readonly ready: readonly number[];
  readonly breakable: readonly boolean[];
  readonly station: readonly number[];
  readonly setup: readonly number[];
  readonly predecessors: Lags;
  readonly successors: Lags;
  readonly order: readonly number[];
  readonly waits: readonly number[];
  readonly sources: readonly number[];
  readonly takes: readonly Counts[];
  readonly gives: readonly Counts[];
  readonly free: readonly number[];
  readonly setupMinutes: readonly (readonly (readonly number[])[])[];
  readonly standing: readonly number[];
  readonly hours: Hours;
  readonly start: number;
  readonly maxLags: readonly MaxLag[];
  readonly by: ReadonlyMap<number, number>;
  readonly pieces: readonly Piece[];
  readonly piece: readonly number[];
  readonly mornings: readonly number[];
  readonly craft: CompiledCraft | null;
};

/** The attended end of operation `i` if it starts at `start`, inside a window; FAR when hours are too few. */
export function endAt(compiled: CompiledProblem, i: number, start: number): number {
  const minutes = compiled.minutes[i] as number;
  return compiled.breakable[i] ? endOf(compiled.hours, start, minutes) : start + minutes;
}

/** The minutes of setting up before operation `i`. standing: by station, the setup in which it stands. */
export function settingMinutes(compiled: CompiledProblem, i: number, standing: readonly number[]): number {
  const at = compiled.station[i] as number;
  const setup = compiled.setup[i] as number;
  if (at < 0 || setup < 0) return 0;
  const rows = compiled.setupMinutes[at] as readonly (readonly number[])[];
  return (rows[standing[at] as number] as readonly number[])[setup] as number;
}

/** The problem as lists. Throws RangeError where a link or hold names an operation that is not there. */
export function compileProblem(problem: Problem): CompiledProblem {
  const { ops, start } = problem;
  const precedence = precedenceLists(problem);
  const waits = precedence.predecessors.map((before) => before.length);
  const stations = stationsOf(problem);
  const pieces = pieceLists(ops);
  const hours = hoursOfAll(problem);
  return {
    ids: ops.map((op) => op.id),
    minutes: ops.map((op) => op.minutes),
    needed: ops.map((op) => (op.breakable ? Math.min(op.minutes, 1) : op.minutes)),
    runs: ops.map((op) => op.runs),
    ready: ops.map((op) => Math.max(op.ready, start)),
    breakable: ops.map((op) => op.breakable && op.minutes > 0),
    ...precedence,
    waits,
    sources: waits.flatMap((left, i) => (left ? [] : [i])),
    ...stationLists(problem, stations),
    ...clampCounts(problem),
    hours,
    start,
    maxLags: maxLagsOf(problem),
    by: new Map(ops.flatMap((op, n): [number, number][] => (op.by === null ? [] : [[n, op.by]]))),
    ...pieces,
    mornings: mornings(hours),
    craft: compileCraft(problem, hours, stations),
  };
}

/** The shop's hours; with one alone, whose hours are all that there are, the hours of that one. */
function hoursOfAll(problem: Problem): Hours {
  const [one, other] = problem.crew;
  return one && !other ? hoursOfHand(problem, one) : hoursOf(problem.windows, problem.start);
}

function precedenceLists(problem: Problem): Pick<CompiledProblem, "predecessors" | "successors" | "order"> {
  const lags: readonly MinLag[] = minLagsOf(problem);
  const predecessors: (readonly [number, number])[][] = problem.ops.map(() => []);
  const successors: (readonly [number, number])[][] = problem.ops.map(() => []);
  for (const [before, after, lag] of lags) {
    predecessors[after]?.push([before, lag]);
    successors[before]?.push([after, lag]);
  }
  return { predecessors, successors, order: topologicalOrder(problem.ops.length, lags) };
}

/** The problem's stations, and those that only operations name. */
export function stationsOf(problem: Problem): Station[] {
  const found = new Map<string, Station>();
  for (const { station } of problem.ops) {
    if (station) found.set(station, { id: station, standing: "", minutes: {}, near: false });
  }
  for (const station of problem.stations) found.set(station.id, station);
  return [...found.values()];
}

function stationLists(
  problem: Problem,
  stations: readonly Station[],
): Pick<CompiledProblem, "station" | "setup" | "setupMinutes" | "standing"> {
  const number = new Map(stations.map((station, n) => [station.id, n]));
  const setups = stations.map(({ standing }) => new Map([[standing, 0]])); // by name, the standing one first
  const station = problem.ops.map((op) => (op.station ? (number.get(op.station) as number) : NONE));
  const setup = problem.ops.map((op, i) => {
    const named = setups[station[i] as number];
    if (!op.setup || !named) return NONE;
    const known = named.get(op.setup) ?? named.size;
    named.set(op.setup, known);
    return known;
  });
  const setupMinutes = stations.map((one, n) => setupMatrix(one, [...(setups[n] as Map<string, number>).keys()]));
  return { station, setup, setupMinutes, standing: stations.map(() => 0) };
}

/** Minutes from setup to setup, by number. */
function setupMatrix(station: Station, setups: readonly string[]): number[][] {
  return setups.map((name) => {
    const row = station.minutes[name] ?? {};
    return setups.map((to) => (to === name ? 0 : (row[to] ?? 0)));
  });
}

function maxLagsOf(problem: Problem): MaxLag[] {
  const number = numbersOf(problem.ops);
  return problem.links.flatMap((link) => {
    if (link.most === null) return [];
    const before = number(link.before);
    const { runs } = problem.ops[before] as Op;
    return [{ before, after: number(link.after), least: link.lag + runs, most: link.most + runs }];
  });
}

/** The pieces that have a due time, and by operation the number of its piece among all pieces. */
function pieceLists(ops: readonly Op[]): Pick<CompiledProblem, "pieces" | "piece"> {
  const numbers = new Map<string, number>();
  const members: number[][] = [];
  const piece = ops.map((op, n) => {
    const known = numbers.get(op.piece) ?? numbers.size;
    const others = members[known];
    if (others) others.push(n);
    else {
      numbers.set(op.piece, known);
      members.push([n]);
    }
    return known;
  });
  return { pieces: members.flatMap((of) => duePiece(ops, of)), piece };
}

/** The piece of these operations with its earliest due time and its greatest weight; none if none of them is due. */
function duePiece(ops: readonly Op[], members: readonly number[]): Piece[] {
  const dues = members.flatMap((n) => (ops[n] as Op).due ?? []);
  if (!dues.length) return [];
  const weight = Math.max(...members.map((n) => (ops[n] as Op).weight));
  return [{ ops: members, due: Math.min(...dues), weight }];
}
