/** What parallel generation may place next, and the choice of one of them: the innermost loop of all planning. */
import { type Counts, giveBack, suffices, take } from "../model/clamps.ts";
import { type CompiledProblem, NONE } from "../model/compiled_problem.ts";
import { FAR, type Hours } from "../model/hours.ts";
import { PLACED, type State } from "./checkpoints.ts";
import { OpenLags } from "./max_lags.ts";
import { OpenCraft } from "./open_craft.ts";

/** Priority value lost for each idle minute; measured on generated shops, where 2 to 8 made little difference. */
export const IDLE_COST = 4;

/** The eligible operations, those whose predecessors are all placed, and what choosing one of them depends on. */
export class Eligible {
  private readonly compiled: CompiledProblem;
  private readonly setupWeight: number;
  private readonly mostIdle: number;
  /** By operation, its value negated. */
  private readonly costs: readonly number[];
  /** The eligible operations, the least cost first, of several that cost the same the least number. */
  readonly eligible: number[] = [];
  /** By operation, its earliest start so far. */
  private readonly ready: number[];
  /** By operation, how many predecessors are not placed; PLACED once it is itself. */
  private readonly waits: number[];
  /** By station, its setup. */
  private readonly standing: number[];
  /** By station, until when it is busy. */
  private readonly busy: number[];
  /** By station, minutes from its present setup to each. */
  private readonly rows: (readonly number[])[];
  /** Clamps that are free, by number of kind. */
  private readonly free: number[];
  /** null without any. */
  private readonly lags: OpenLags | null;
  /** null where craft is left out of account. */
  private readonly craft: OpenCraft | null;
  /** By station, value lost for coming to it from another one. */
  private readonly visits: readonly number[];
  /** By station, value lost for coming to it from here. */
  private readonly away: number[];
  /** The station where work was last done, NONE if none or near. */
  private here = NONE;
  /** Of the operation chosen last: when it should start. */
  start = 0;
  /** Of the operation chosen last: at what cost it was chosen. */
  cost = 0;
  /** After which minutes an operation that was held back in the last choice should be considered again; or FAR. */
  wake = FAR;

  /** values, setupWeight, mostIdle, weight of craft: as in `Priorities`. from: the state to go on from. */
  constructor(
    compiled: CompiledProblem,
    hours: Hours,
    values: readonly number[],
    setupWeight: number,
    mostIdle: number,
    weight: number,
    from: State | undefined,
  ) {
    const { ready, waits, standing, free } = from ?? compiled;
    this.compiled = compiled;
    this.setupWeight = setupWeight;
    this.mostIdle = mostIdle;
    this.costs = values.map((value) => 0 - value);
    this.ready = ready.slice();
    this.waits = waits.slice();
    this.standing = standing.slice();
    this.busy = from?.busy.slice() ?? standing.map(() => compiled.start);
    this.rows = standing.map((setup, at) => this.row(at, setup));
    this.free = free.slice();
    this.lags = compiled.maxLags.length > 0 || compiled.by.size > 0 ? new OpenLags(compiled, hours, from?.due) : null;
    const craft = weight === 0 ? null : compiled.craft;
    this.craft = craft && new OpenCraft(compiled, craft, hours, weight);
    if (from) this.craft?.goTo(from.wetUntil, from.wanted);
    this.visits = standing.map((_, at) => (craft ? weight * (craft.visits[at] as number) : 0));
    this.away = this.visits.slice();
    if (craft) this.stand(from?.here ?? craft.here);
    for (let i = 0; i < waits.length; i++) if (waits[i] === 0) this.insert(i);
  }

  /** The state at this moment, in the window of this number. */
  at(now: number, window: number): State {
    return {
      now,
      window,
      free: this.free.slice(),
      standing: this.standing.slice(),
      busy: this.busy.slice(),
      waits: this.waits.slice(),
      ready: this.ready.slice(),
      here: this.here,
      due: this.lags ? this.lags.due() : [],
      wetUntil: this.craft ? this.craft.wetUntil : now,
      wanted: this.craft ? this.craft.due() : [],
    };
  }

  /**
   * The place in `eligible` of the operation to start now, whose `start` and `cost` are then set; -1 if none can start in
   * this window. `wake` is set in any case. close: when the window ends.
   */
  choose(now: number, close: number): number {
    const { setupWeight, mostIdle, costs, eligible, busy, rows, ready, free, away, lags, craft } = this;
    const { needed, station, setup, takes } = this.compiled;
    const touchy = this.compiled.craft?.touchy;
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
      if (lags && cost < best) {
        const held = lags.judge(i, start, now, idle, ready, this.waits);
        if (held > 0) {
          if (held < wake) wake = held;
          continue;
        }
        cost += lags.penalty;
      }
      if (cost < best) {
        chosen = place;
        chosenStart = start;
        best = cost;
      }
    }
    this.start = chosenStart;
    this.cost = best;
    this.wake = wake;
    return chosen;
  }

  /** Take the operation at this place out of `eligible`. */
  take(place: number): number {
    const { eligible } = this;
    const i = eligible[place] as number;
    for (let n = place + 1; n < eligible.length; n++) eligible[n - 1] = eligible[n] as number;
    eligible.pop();
    this.waits[i] = PLACED;
    return i;
  }

  /** Note that operation `i` is placed and ends at `end`; true if that changes a setup. */
  place(i: number, end: number): boolean {
    const { compiled, craft } = this;
    const takes = compiled.takes[i] as Counts;
    const gives = compiled.gives[i] as Counts;
    if (takes.length > 0) take(this.free, takes);
    if (gives.length > 0) giveBack(this.free, gives);
    const isChanged = this.useStation(i, end);
    this.release(end, compiled.successors[i] as (typeof compiled.successors)[number]);
    this.lags?.place(i, end);
    if (craft && (compiled.craft?.marks[i] || end > craft.soon)) craft.note(i, end);
    return isChanged;
  }

  /** The station of operation `i`, which ends at `end`, is used; true if that changes its setup. */
  private useStation(i: number, end: number): boolean {
    const at = this.compiled.station[i] as number;
    if (at < 0) return false;
    this.busy[at] = end + (this.compiled.runs[i] as number);
    if (at !== this.here && (this.visits[at] as number) > 0) this.stand(at);
    const setup = this.compiled.setup[i] as number;
    if (setup < 0 || this.standing[at] === setup) return false;
    this.standing[at] = setup;
    this.rows[at] = this.row(at, setup);
    return true;
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
    const { eligible, costs } = this;
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

  /** Stand at this station, and no longer at another one. */
  private stand(at: number): void {
    if (this.here >= 0) this.away[this.here] = this.visits[this.here] as number;
    if (at >= 0) this.away[at] = 0;
    this.here = at;
  }

  /** Minutes from this setup of a station to each. */
  private row(at: number, setup: number): readonly number[] {
    return (this.compiled.setupMinutes[at] as CompiledProblem["setupMinutes"][number])[setup] as readonly number[];
  }
}
