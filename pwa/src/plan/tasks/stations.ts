/**
 * The stations of a planning problem: which are needed, what they are set to, and how long each setup takes.
 *
 * Twin of plan/tasks/stations.py.
 */
import { compareText } from "../../bench/book.ts";
import { settingOf, setupSetting, standsNow } from "../../bench/standing.ts";
import { MACHINES, STOP_MINUTES } from "../../tables.gen.ts";
import type { Operation, Station } from "../../wire.gen.ts";
import type { OpenBuild, Tasks } from "./task.ts";

/**
 * Minutes of the operation's own that go into setting its station up.
 *
 * Where the recipe names no setup they are those that it says, or else what is usual there, but no more than half.
 */
export function settingMinutes(op: Operation): number {
  if (op.setup) return op.setup_minutes;
  const usual = STOP_MINUTES[op.station] ?? 0;
  return usual ? op.setup_minutes || Math.min(usual, op.minutes / 2) : 0;
}

/** Every station that a task still needs, in their order. */
export function stationsOf(builds: readonly OpenBuild[], tasks: Tasks): readonly Station[] {
  const needed = neededSettings(builds, tasks);
  const stands = standsNow(builds);
  return [...needed.keys()].sort(compareText).map((id) => {
    const standing = stands.get(id)?.setting ?? "";
    const minutes = setupMinutes(needed.get(id) ?? new Map(), standing);
    return { id, standing, minutes, near: MACHINES[id] === undefined };
  });
}

/** By station, the minutes that each setting takes which a task still needs there. */
function neededSettings(builds: readonly OpenBuild[], tasks: Tasks): ReadonlyMap<string, ReadonlyMap<string, number>> {
  const sheets = new Map(builds.map(({ id, sheet }) => [id, sheet]));
  const named = new Map(
    builds.flatMap(({ sheet }) =>
      sheet.setups.map((setup) => [setupSetting(sheet, setup.id), Math.ceil(setup.minutes)] as const),
    ),
  );
  const needed = new Map<string, Map<string, number>>();
  for (const { build, act, operation } of tasks.values()) {
    const sheet = sheets.get(build);
    if (!sheet || act !== "work" || !operation.station) continue;
    const at = needed.get(operation.station) ?? new Map<string, number>();
    needed.set(operation.station, at);
    const key = settingOf(sheet, operation);
    const unnamed = () => Math.max(at.get(key) ?? 0, Math.ceil(settingMinutes(operation)));
    if (key) at.set(key, named.get(key) || unnamed());
  }
  return needed;
}

/** Minutes from each setup to each needed one: a recipe says only how long a setup takes, not from which one. */
function setupMinutes(needed: ReadonlyMap<string, number>, standing: string): Station["minutes"] {
  const wanted = [...needed.keys()].sort(compareText);
  const from = [...new Set(["", standing, ...wanted])].sort(compareText);
  return Object.fromEntries(
    from.map((at) => [at, Object.fromEntries(wanted.map((to) => [to, to === at ? 0 : (needed.get(to) ?? 0)]))]),
  );
}
