/**
 * The parallel schedule generation scheme for several pairs of hands: whoever is free first takes up the best.
 *
 * Time goes forward from event to event. Of the operations that are eligible, the pair of hands that is free first takes
 * the one with the greatest priority value, less what setting up and idling would cost now; where none can be taken up,
 * it is passed over until something changes. Maximal lags and begun operations are left to `crew_generation.ts`, which
 * times the order that comes out.
 */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import type { CompiledProblem } from "../model/compiled_problem.ts";
import { type Entry, pop, push } from "../model/heap.ts";
import { endOf, FAR } from "../model/hours.ts";
import type { Schedule } from "../model/schedule.ts";
import { IDLE_COST } from "../search/eligible.ts";
import { OpenCraft } from "../search/open_craft.ts";
import type { Priorities } from "../search/parallel_generation.ts";
import type { Crew, CrewHand } from "./crew.ts";
import { PairsInTurn } from "./pairs_in_turn.ts";

/** Value added to what must be taken up before all else: more than any other reason to choose an operation. */
const FIRST = 2 ** 32;

/** The schedule that the priorities make; null where hours or clamps are too few for it. */
export function generateParallelForCrew(crew: Crew, priorities: Priorities): Schedule | null {
  const generation = new CrewInParallel(crew, priorities);
  while (generation.eligible.length > 0) if (!generation.advance()) return null;
  return generation.schedule();
}

/** A schedule that is being generated. */
class CrewInParallel {
  private readonly compiled: CompiledProblem;
  private readonly people: readonly CrewHand[];
  private readonly setupWeight: number;
  private readonly mostIdle: number;
  /** By operation, its value negated. */
  private readonly cost: readonly number[];
  /** The eligible operations, the least cost first, of several that cost the same the least number. */
  readonly eligible: number[] = [];
  /** By operation, its earliest start so far. */
  private readonly ready: number[];
  /** By operation, how many predecessors are not placed. */
  private readonly waits: number[];
  /** By station, its setup. */
  private readonly standing: number[];
  /** By station, until when it is busy. */
  private readonly busy: number[];
  /** By station, minutes from its present setup to each. */
  private readonly rows: (readonly number[])[];
  private readonly pairs: PairsInTurn;
  /** null where it is left out of account. */
  private readonly craft: OpenCraft | null;
  /** By station, value lost for coming to it from another one. */
  private readonly visits: readonly number[];
  /** The same, as it stands now. */
  private readonly away: number[];
  /** The stations where the hands stand, the last used last. */
  private manned: number[] = [];
  /** Clamps that are free, by number of kind. */
  private readonly free: number[];
  /** When clamps come back, and the operation that gives them back; a heap. */
  private readonly givenBack: Entry[] = [];
  private readonly start: number[];
  private readonly end: number[];
  /** By operation, when its setting up starts. */
  private readonly takenUp: number[];
  /** By operation, the number of the pair. */
  private readonly hand: number[];
  private readonly order: number[] = [];
  private changes = 0;
  /** Of the operation chosen last: when it should start. */
  private chosenStart = 0;
  /** After which minutes an operation that was held back in the last choice should be considered again; or FAR. */
  private wake = FAR;

  constructor(crew: Crew, { values, setupWeight, mostIdle, craft: weight }: Priorities) {
    const { compiled, first, people } = crew;
    this.compiled = compiled;
    this.people = people;
    this.setupWeight = setupWeight;
    this.mostIdle = mostIdle;
    this.cost = values.map((value, i) => 0 - value - (first.has(i) ? FIRST : 0));
    this.ready = compiled.ready.slice();
    this.waits = compiled.waits.slice();
    this.standing = compiled.standing.slice();
    this.busy = compiled.standing.map(() => compiled.start);
    this.rows = compiled.standing.map((setup, at) => this.row(at, setup));
    this.pairs = new PairsInTurn(crew);
    const craft = weight === 0 ? null : compiled.craft;
    this.craft = craft && new OpenCraft(compiled, craft, compiled.hours, weight);
    this.visits = compiled.standing.map((_, at) => (craft ? weight * (craft.visits[at] as number) : 0));
    this.away = this.visits.slice();
    if (craft && craft.here >= 0) {
      this.manned = [craft.here];
      this.away[craft.here] = 0;
    }
    this.free = compiled.free.slice();
    const zeros = () => new Array<number>(values.length).fill(0);
    this.start = zeros();
    this.end = zeros();
    this.takenUp = zeros();
    this.hand = zeros();
    for (const i of compiled.sources) this.insert(i);
  }

  /** Place one operation, or pass over the pair of hands that is free first; false where the hours are too few. */
  advance(): boolean {
    const pair = this.pairs.next;
    const { hours, free: now } = pair;
    const close = hours.closes[pair.window];
    if (close === undefined) return false;
    while (this.givenBack.length > 0 && (this.givenBack[0] as Entry)[0] <= now) {
      const [, i] = pop(this.givenBack) as Entry;
      giveBack(this.free, this.compiled.gives[i] as Counts);
    }
    const place = this.choose(now, close, pair.unable);
    if (place < 0) {
      this.pairs.passOver(Math.min(now + this.wake, this.givenBack[0]?.[0] ?? FAR));
    } else {
      const i = this.eligible[place] as number;
      this.eligible.splice(place, 1);
      const minutes = this.compiled.minutes[i] as number;
      let end = this.chosenStart + minutes;
      if (end > close) {
        end = endOf(hours, this.chosenStart, minutes);
        if (end === FAR) return false;
        while ((hours.closes[pair.window] as number) < end) pair.window += 1;
      }
      this.hand[i] = pair.number;
      this.place(i, this.chosenStart, end);
      this.pairs.occupy(end);
    }
    return true;
  }

  /**
   * The place in `eligible` of what to take up now, whose `chosenStart` is then set; -1 where nothing can be, and `wake`
   * is then set, FAR where only another event can help.
   *
   * close: when the window ends in which `now` lies. unable: stations that these hands may not use.
   */
  private choose(now: number, close: number, unable: ReadonlySet<number>): number {
    const { cost: costs, eligible, ready, busy, rows, craft, away, setupWeight, mostIdle, free } = this;
    const { station, setup, needed, takes } = this.compiled;
    const touchy = this.compiled.craft?.touchy;
    const isAnyoneUnable = unable.size > 0;
    let chosen = -1;
    let chosenStart = 0;
    let best = FAR;
    let wake = FAR;
    for (let place = 0; place < eligible.length; place++) {
      const i = eligible[place] as number;
      let cost = costs[i] as number;
      if (cost >= best) break; // the rest cost no less, and every cost only grows below
      const taken = takes[i] as Counts;
      if (taken.length > 0 && !suffices(free, taken)) continue;
      const at = station[i] as number;
      if (isAnyoneUnable && unable.has(at)) continue;
      let setting = 0;
      let start = now;
      if (at >= 0) {
        const to = setup[i] as number;
        if (to >= 0) setting = (rows[at] as readonly number[])[to] as number;
        if ((busy[at] as number) > now) start = busy[at] as number;
        start += setting;
        cost += away[at] as number;
      }
      if (start < (ready[i] as number)) start = ready[i] as number;
      if (start + (needed[i] as number) > close) continue;
      const idle = start - setting - now;
      if (idle > mostIdle) {
        if (idle < wake) wake = idle;
        continue;
      }
      cost += setupWeight * setting + IDLE_COST * idle;
      if (craft && cost < best && (touchy?.[i] || start < craft.wetUntil || craft.isAnyDue())) {
        const later = craft.judge(i, start, setting, close, ready);
        if (later >= close) continue;
        cost += IDLE_COST * (later - start) + craft.penalty;
        start = later;
      }
      if (cost < best) {
        chosen = place;
        chosenStart = start;
        best = cost;
      }
    }
    this.chosenStart = chosenStart;
    this.wake = wake;
    return chosen;
  }

  /** Note that the operation is done from `start` to `end`. */
  private place(i: number, start: number, end: number): void {
    const { compiled } = this;
    this.order.push(i);
    this.start[i] = start;
    this.end[i] = end;
    this.takenUp[i] = start;
    take(this.free, compiled.takes[i] as Counts);
    if ((compiled.gives[i] as Counts).length > 0) push(this.givenBack, [end, i]);
    this.useStation(i, start, end);
    this.craft?.note(i, end);
    this.release(end, compiled.successors[i] as CompiledProblem["successors"][number]);
  }

  /** The station of operation `i` is used, and set up before that where it must be. */
  private useStation(i: number, start: number, end: number): void {
    const at = this.compiled.station[i] as number;
    if (at < 0) return;
    this.busy[at] = end + (this.compiled.runs[i] as number);
    if ((this.visits[at] as number) > 0 && this.manned.at(-1) !== at) this.goTo(at);
    const setup = this.compiled.setup[i] as number;
    if (setup < 0 || this.standing[at] === setup) return;
    this.takenUp[i] = start - ((this.rows[at] as readonly number[])[setup] as number);
    this.standing[at] = setup;
    this.rows[at] = this.row(at, setup);
    this.changes += 1;
  }

  /** Somebody goes to this station, from the one that was used least recently. */
  private goTo(at: number): void {
    const manned = [...this.manned.filter((one) => one !== at), at];
    const left = Math.max(0, manned.length - this.pairs.count);
    for (const one of manned.slice(0, left)) this.away[one] = this.visits[one] as number;
    this.manned = manned.slice(left);
    this.away[at] = 0;
  }

  /** Those of these successors that wait for nothing else become eligible at `end`. */
  private release(end: number, successors: CompiledProblem["successors"][number]): void {
    const { ready, waits } = this;
    for (const link of successors) {
      const j = link[0]; // taking pairs apart by a pattern is slow
      const earliest = end + link[1];
      if ((ready[j] as number) < earliest) ready[j] = earliest;
      const left = (waits[j] as number) - 1;
      waits[j] = left;
      if (left === 0) this.insert(j);
    }
  }

  /** Put the operation where it belongs in `eligible`. */
  private insert(i: number): void {
    const { eligible, cost: costs } = this;
    const cost = costs[i] as number;
    let place = eligible.length;
    eligible.push(i);
    for (; place > 0; place--) {
      const before = eligible[place - 1] as number;
      const other = costs[before] as number;
      if (other < cost || (other === cost && before < i)) break;
      eligible[place] = before;
    }
    eligible[place] = i;
  }

  /** Minutes from this setup of a station to each. */
  private row(at: number, setup: number): readonly number[] {
    return (this.compiled.setupMinutes[at] as CompiledProblem["setupMinutes"][number])[setup] as readonly number[];
  }

  /** The schedule, once every operation is placed. */
  schedule(): Schedule {
    const { start, end, changes, takenUp, people } = this;
    let finish = this.order.length > 0 ? -FAR : this.compiled.start;
    for (const i of this.order) finish = Math.max(finish, (end[i] as number) + (this.compiled.runs[i] as number));
    const order = this.order.slice().sort((a, b) => (takenUp[a] as number) - (takenUp[b] as number));
    const hand = people.length > 0 ? this.hand.map((n) => (people[n] as CrewHand).place) : null;
    return { order, start, end, finish, changes, lateness: 0, unplaced: 0, hand };
  }
}
