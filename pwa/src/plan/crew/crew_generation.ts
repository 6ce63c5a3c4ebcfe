/**
 * Serial schedule generation for several pairs of hands: each operation of an order as early as every rule allows.
 *
 * An operation may be put before one that stands earlier in the order, where hands are free. The operations of one
 * station keep the order, since setups depend on it. Clamps count as taken for good until the operation that gives them
 * back is placed; an operation that would take too many is put off until then.
 */
import type { Counts } from "../model/clamps.ts";
import { type CompiledProblem, NONE, settingMinutes } from "../model/compiled_problem.ts";
import { FAR } from "../model/hours.ts";
import { compareRanks, objective, type Schedule } from "../model/schedule.ts";
import { untornStart } from "../search/untorn.ts";
import { type Span, Team } from "./axis.ts";
import { ClampsOverTime } from "./clamps_over_time.ts";
import type { Crew } from "./crew.ts";

/** How often operations that start exceeded maximal lags are delayed further, at most. */
const ROUNDS = 4;

const NO_DELAYS: ReadonlyMap<number, number> = new Map();
const NO_STATIONS: ReadonlySet<number> = new Set();

/**
 * The schedule of this order, in which operations that start a maximal lag are delayed while that saves overrun.
 *
 * null where clamps or hours do not allow the order.
 */
export function crewWithLimits(crew: Crew, order: readonly number[]): Schedule | null {
  const { compiled } = crew;
  let best = generateForCrew(crew, order);
  if (best === null || compiled.maxLags.length === 0) return best;
  const notBefore = new Map<number, number>();
  for (let round = 0; round < ROUNDS; round++) {
    for (const { before, after, most } of compiled.maxLags) {
      const over = (best.start[after] as number) - (best.end[before] as number) - most;
      if (over > 0) notBefore.set(before, (best.start[before] as number) + over);
    }
    const delayed = generateForCrew(crew, order, notBefore);
    if (!delayed || compareRanks(objective(compiled, delayed), objective(compiled, best)) >= 0) break;
    best = delayed;
  }
  return best;
}

/**
 * The schedule of this order; null where clamps or hours do not allow it.
 *
 * notBefore: operation to its earliest start in minutes, for operations that are delayed on purpose.
 */
function generateForCrew(crew: Crew, order: readonly number[], notBefore = NO_DELAYS): Schedule | null {
  const generation = new CrewGeneration(crew, order, notBefore);
  while (generation.eligible.length > 0) if (!generation.placeNext()) return null;
  return generation.schedule();
}

/** Hands that are alike, with the stations that they may not use. */
type AbleTeam = { readonly team: Team; readonly unable: ReadonlySet<number> };

/** A schedule that is being generated. */
class CrewGeneration {
  private readonly crew: Crew;
  private readonly compiled: CompiledProblem;
  /** Operations in the order, those of `Crew.first` before all others. */
  private readonly byRank: readonly number[];
  /** The inverse. */
  private readonly rank: number[];
  /** Ranks of the operations whose predecessors are all placed, sorted. */
  readonly eligible: number[];
  /** By operation, its earliest start so far. */
  private readonly ready: number[];
  /** By operation, how many predecessors are not placed. */
  private readonly waits: number[];
  /** By station, its setup. */
  private readonly standing: number[];
  /** By station, until when it is busy. */
  private readonly busy: number[];
  private readonly teams: readonly AbleTeam[];
  private readonly clamps: ClampsOverTime;
  /** By operation, the number of the team. */
  private readonly hand: number[];
  private readonly start: number[];
  private readonly end: number[];
  /** By operation, when its setting up starts. */
  private readonly takenUp: number[];
  private readonly placed: number[] = [];
  /** Nothing is taken up before it. */
  private floor: number;
  private finish: number;
  private changes = 0;
  /** How many begun operations are not placed. */
  private begunLeft: number;

  constructor(crew: Crew, order: readonly number[], notBefore: ReadonlyMap<number, number>) {
    const { compiled, first, people } = crew;
    this.crew = crew;
    this.compiled = compiled;
    this.byRank = [...order.filter((i) => first.has(i)), ...order.filter((i) => !first.has(i))];
    const zeros = () => new Array<number>(order.length).fill(0);
    this.rank = zeros();
    for (const [r, i] of this.byRank.entries()) this.rank[i] = r;
    this.waits = compiled.waits.slice();
    this.eligible = compiled.sources.map((i) => this.rank[i] as number).sort((a, b) => a - b);
    this.ready = compiled.ready.slice();
    for (const [i, at] of notBefore) this.ready[i] = Math.max(this.ready[i] as number, at);
    this.standing = compiled.standing.slice();
    this.busy = compiled.standing.map(() => compiled.start);
    const differing = people.map(({ hours, unable }) => ({ team: new Team(hours, 1), unable }));
    const alike = { team: new Team(compiled.hours, crew.hands), unable: NO_STATIONS };
    this.teams = people.length > 0 ? differing : [alike];
    this.clamps = new ClampsOverTime(compiled.free);
    this.hand = zeros();
    this.start = zeros();
    this.end = zeros();
    this.takenUp = zeros();
    this.floor = compiled.start;
    this.finish = compiled.start;
    this.begunLeft = crew.begun.size;
  }

  /**
   * Place the first eligible operation whose clamps come free; false if there is none, if the hours are too few, or if
   * others would have to come before an operation that is begun.
   */
  placeNext(): boolean {
    for (const [place, rank] of this.eligible.entries()) {
      const i = this.byRank[rank] as number;
      if (this.begunLeft > 0 && !this.crew.first.has(i)) return false;
      const unclamped = this.clamps.freeFrom(this.compiled.takes[i] as Counts);
      if (unclamped === FAR) continue;
      this.eligible.splice(place, 1);
      return this.place(i, unclamped);
    }
    return false;
  }

  /** Place the operation as early as it can be; false if the hours are too few. unclamped: when its clamps are free. */
  private place(i: number, unclamped: number): boolean {
    const { compiled } = this;
    const at = compiled.station[i] as number;
    const setting = settingMinutes(compiled, i, this.standing);
    let earliest = Math.max(this.floor, Math.max(this.ready[i] as number, unclamped) - setting);
    if (at >= 0) earliest = Math.max(earliest, this.busy[at] as number);
    if (!this.takeUp(i, earliest, setting)) return false;
    this.placed.push(i);
    if (this.crew.begun.has(i)) this.noteBegun();
    const end = this.end[i] as number;
    this.clamps.take(this.start[i] as number, compiled.takes[i] as Counts);
    this.clamps.giveBack(end, compiled.gives[i] as Counts);
    const free = end + (compiled.runs[i] as number);
    this.finish = Math.max(this.finish, free);
    if (at >= 0) this.useStation(at, compiled.setup[i] as number, free);
    this.release(i, end);
    return true;
  }

  /**
   * Reserve hands for setting up and work, not before `earliest`; false if the hours are too few.
   *
   * Whose are done with it first.
   */
  private takeUp(i: number, earliest: number, setting: number): boolean {
    const at = this.compiled.station[i] as number;
    let hand = NONE;
    let [takenUp, end] = [FAR, FAR];
    for (const [n, { team, unable }] of this.teams.entries()) {
      if (unable.has(at)) continue;
      const [begin, ended] = this.when(team, i, earliest, setting);
      if (ended < end) [hand, takenUp, end] = [n, begin, ended];
    }
    if (hand === NONE) return false;
    (this.teams[hand] as AbleTeam).team.reserve(takenUp, setting + (this.compiled.minutes[i] as number));
    this.hand[i] = hand;
    this.takenUp[i] = takenUp;
    this.start[i] = takenUp + setting;
    this.end[i] = end;
    return true;
  }

  /**
   * When the team would take it up, not before `earliest`, and be done with it.
   *
   * setting: minutes of setting up. Work that may be torn is done later where that leaves no piece too short.
   */
  private when(team: Team, i: number, earliest: number, setting: number): Span {
    const { compiled } = this;
    const minutes = setting + (compiled.minutes[i] as number);
    const together = setting + (compiled.needed[i] as number);
    const soonest = team.when(earliest, together, minutes);
    if (soonest[1] === FAR || minutes === 0 || !compiled.craft || !compiled.breakable[i]) return soonest;
    const start = soonest[0] + setting;
    const whole = untornStart(compiled, compiled.craft, team.hours, i, start, setting);
    if (whole === start) return soonest;
    const later = team.when(whole - setting, together, minutes);
    return later[1] === FAR ? soonest : later;
  }

  /** One more begun operation is placed; after the last of them the others may start beside it, not before. */
  private noteBegun(): void {
    this.begunLeft -= 1;
    if (this.begunLeft > 0) return;
    this.floor = Math.max(...[...this.crew.begun].map((i) => this.takenUp[i] as number));
  }

  /** The station is busy until `free` and stands in this setup. */
  private useStation(at: number, setup: number, free: number): void {
    this.busy[at] = free;
    if (setup < 0 || this.standing[at] === setup) return;
    this.standing[at] = setup;
    this.changes += 1;
  }

  /** Those that wait for operation `i`, which ends at `end`, wait for one less. */
  private release(i: number, end: number): void {
    const { ready, waits } = this;
    for (const [j, lag] of this.compiled.successors[i] as CompiledProblem["successors"][number]) {
      ready[j] = Math.max(ready[j] as number, end + lag);
      waits[j] = (waits[j] as number) - 1;
      if (waits[j] === 0) this.insert(this.rank[j] as number);
    }
  }

  private insert(rank: number): void {
    const { eligible } = this;
    let place = eligible.length;
    eligible.push(rank);
    for (; place > 0 && (eligible[place - 1] as number) > rank; place--)
      eligible[place] = eligible[place - 1] as number;
    eligible[place] = rank;
  }

  /** What was generated. */
  schedule(): Schedule {
    const { start, end, finish, changes, takenUp } = this;
    const { people } = this.crew;
    const order = this.placed.slice().sort((a, b) => (takenUp[a] as number) - (takenUp[b] as number));
    const hand = people.length > 0 ? this.hand.map((n) => (people[n] as (typeof people)[number]).place) : null;
    return { order, start, end, finish, changes, lateness: 0, unplaced: 0, hand };
  }
}
