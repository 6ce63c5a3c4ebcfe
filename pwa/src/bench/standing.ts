/**
 * What each station is set to now, over all open builds, and how much still needs that before it may be touched.
 *
 * Twin of bench/standing.py, where the reasons stand, as far as that goes; who still needs a setup, the phone alone says.
 */
import { STOP_MINUTES } from "../tables.gen.ts";
import type { Bench, Operation, Sheet } from "../wire.gen.ts";
import { compareText } from "./book.ts";

export type OpenBuild = { readonly id: string; readonly name?: string; readonly sheet: Sheet; readonly bench: Bench };

/** What a station is set to. setting: as `settingOf` names it. build: where that was recorded first; ms: when. */
export type Stands = { readonly setting: string; readonly build: string; readonly ms: number };

/** left: parts that still have to go through it, over all open builds of the recipe. run: operations through so far. */
export type StandingSetup = {
  readonly build: string;
  readonly station: string;
  readonly setup: string;
  readonly left: number;
  readonly run: number;
  readonly reason: string;
};

/** Something done at a station. sets: the setting is known from then on; otherwise it was in use until then. */
type Touch = Stands & { readonly station: string; readonly sets: boolean; readonly rank: number };

/** Marks that say that hands were at the station. */
export const WORKED = ["began", "ticked", "finished"] as const;

/** The setting's name over all builds; "" where the operation leaves its station as it is. */
export function settingOf(sheet: Sheet, op: Operation): string {
  if (op.setup) return setupSetting(sheet, op.setup);
  return STOP_MINUTES[op.station] ? `${sheet.recipe}||${op.name}${answers(sheet, op.piece)}` : "";
}

/** A setup of the recipe, over all builds that were answered alike. A piece with answers of its own has its own. */
export function setupSetting(sheet: Sheet, setup: string): string {
  return `${sheet.recipe}|${setup}${answers(sheet, "")}`;
}

const settingMinutes = new WeakMap<Sheet, ReadonlyMap<string, number>>();

/**
 * Minutes to set an operation's station for it, proof cut and all, where that stands in something else. The sheet counts
 * them once for neighbours in its order that share a setting, so the most that any of them has is meant.
 */
export function minutesToSet(sheet: Sheet, op: Operation): number {
  const known = settingMinutes.get(sheet) ?? minutesBySetting(sheet);
  settingMinutes.set(sheet, known);
  return known.get(settingOf(sheet, op)) ?? op.setup_minutes;
}

function minutesBySetting(sheet: Sheet): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const op of sheet.operations) {
    const setting = settingOf(sheet, op);
    if (setting) found.set(setting, Math.max(found.get(setting) ?? 0, op.setup_minutes));
  }
  return found;
}

/** What was chosen for a piece, "" where nothing was asked: other sizes need other settings. */
function answers({ choices = [] }: Sheet, piece: string): string {
  return choices.map((one) => `|${one.by_piece?.[piece] ?? one.value}`).join("");
}

/** By station, the setting it stands in; without those that stand in none that is known. */
export function standsNow(builds: readonly OpenBuild[]): ReadonlyMap<string, Stands> {
  const all = builds.flatMap(touches);
  const stations = [...new Set(all.map(({ station }) => station))].sort(compareText);
  return new Map(
    stations.flatMap((station) => {
      const first = standingSince(all.filter((touch) => touch.station === station));
      return first ? [[station, { setting: first.setting, build: first.build, ms: first.ms }] as const] : [];
    }),
  );
}

/** Since when the last setting stands, where nothing else was done at the station since; null where nobody knows. */
function standingSince(found: readonly Touch[]): Touch | null {
  let last: Touch | null = null;
  for (const touch of [...found].sort(earlierFirst)) {
    if (touch.setting !== last?.setting) last = null;
    if (touch.sets) last ??= touch;
  }
  return last;
}

function earlierFirst(a: Touch, b: Touch): number {
  return a.ms - b.ms || a.rank - b.rank || compareText(a.setting, b.setting) || compareText(a.build, b.build);
}

/** All that was done at stations in this build. */
function touches({ id: build, sheet, bench }: OpenBuild): readonly Touch[] {
  const worked = sheet.operations.flatMap((op) => {
    const { marks = {} } = bench.operations[op.id] ?? {};
    const times = WORKED.flatMap((kind) => marks[kind] ?? []);
    const touch = { station: op.station, setting: settingOf(sheet, op), build };
    if (!touch.setting || !times.length) return [];
    const began = marks.began === undefined ? [] : [{ ...touch, ms: marks.began, sets: true, rank: 1 }];
    return [...began, { ...touch, ms: Math.max(...times), sets: false, rank: 0 }];
  });
  const down = Object.entries(bench.taken_down ?? {}).map(([station, ms]) => ({
    ...{ station, setting: "", build, ms, sets: false, rank: 3 },
  }));
  const up = Object.entries(bench.stations).map(([station, { setup, ms }]) => ({
    ...{ station, setting: setupSetting(sheet, setup), build, ms, sets: true, rank: 2 },
  }));
  return [...worked, ...down, ...up];
}

/** The named setup each station stands in, over all builds, in order of stations. */
export function standingSetups(open: readonly OpenBuild[]): readonly StandingSetup[] {
  return [...standsNow(open)].flatMap(([station, stands]) => {
    const [recipe, setup] = stands.setting.split("|");
    const { left, run } = needOf(open, stands);
    return recipe !== undefined && setup
      ? [{ build: stands.build, station, setup, left, run, reason: reasonOf(station, left) }]
      : [];
  });
}

/** What still needs a setting that stands. left: parts to go. run: operations through so far. next: the first to come. */
export type Need = { readonly left: number; readonly run: number; readonly next: Operation | null };

/** What still needs what stands, over all builds. */
export function needOf(open: readonly OpenBuild[], { setting, ms }: Stands): Need {
  const users = usersOf(open, setting).map(([op, of]) => ({ op, bench: of.bench, left: leftOf(op, of.bench) }));
  return {
    left: users.reduce((sum, { left }) => sum + left, 0),
    run: users.filter(({ op, bench }) => (bench.operations[op.id]?.marks.finished ?? -1) >= ms).length,
    next: users.find(({ left }) => left > 0)?.op ?? null,
  };
}

/** Every operation that needs the setting, of all builds of its recipe. */
export function usersOf(open: readonly OpenBuild[], setting: string): readonly (readonly [Operation, OpenBuild])[] {
  return open.flatMap((build) =>
    build.sheet.operations.filter((op) => settingOf(build.sheet, op) === setting).map((op) => [op, build] as const),
  );
}

/** Parts that have not been through yet; an operation without parts counts as one. */
function leftOf(op: Operation, bench: Bench): number {
  const state = bench.operations[op.id];
  if (!state || state.status === "done") return 0;
  return op.parts.length ? state.left.length : 1;
}

function reasonOf(station: string, left: number): string {
  if (!left) return `Nothing needs it any more: the ${station} may be set for something else.`;
  return `Leave the ${station} as it is: ${left} ${left === 1 ? "part" : "parts"} to go.`;
}
