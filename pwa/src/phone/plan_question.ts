/**
 * What is open, and for what shop, as the planner's worker is told it at each change.
 *
 * Plain data, which can be sent to a worker. A sheet never changes, so it is not in here: it is sent once.
 */
import { compare } from "../bench/book.ts";
import { clocks } from "../bench/clocks.ts";
import { type BuildView, isOpen } from "../bench/loaded_builds.ts";
import { DAY_MS, MINUTE_MS } from "../durations.ts";
import type { OpenBuild } from "../plan/tasks/task.ts";
import type { Bench, ShopState } from "../wire.gen.ts";

type Settings = ShopState["settings"];

/** An open build as it is now, without its sheet. */
export type BuildNow = Pick<OpenBuild, "id" | "bench" | "running" | "due" | "weight">;

/** builds: the one first that began first. settings: those that a plan goes by. now: server time in ms, whole minutes. */
export type PlanQuestion = {
  readonly builds: readonly BuildNow[];
  readonly settings: Settings;
  readonly now: number;
};

/** The settings of the shop that a plan goes by, beside what each build is promised for. */
const PLANNED_BY: ReadonlySet<string> = new Set(["hours", "closed", "people", "clamps", "fixtures", "finishing_room"]);

const MOST_WEIGHT = 9;
const LATEST_DUE = 2 ** 47;

/** The question at `now`, server time in ms. views: the builds at hand; of them those count that are open. */
export function planQuestion(
  views: readonly BuildView[],
  { settings, readings }: ShopState,
  now: number,
): PlanQuestion {
  const minute = Math.floor(now / MINUTE_MS) * MINUTE_MS;
  const builds = byBeginning(views).flatMap(({ id, sheet, bench }) => {
    if (!isOpen(bench) || isAhead(bench, minute)) return [];
    return [{ id, bench, running: clocks(sheet, bench, readings, minute), ...dueOf(settings, id) }];
  });
  return {
    builds,
    settings: Object.fromEntries(Object.entries(settings).filter(([name]) => PLANNED_BY.has(name))),
    now: minute,
  };
}

/** The same builds in the order in which they were begun, as the server has them: of equals the planner takes the first. */
function byBeginning(views: readonly BuildView[]): readonly BuildView[] {
  const begun = views.flatMap((view) => {
    const started = view.book.latest("started");
    return started ? [{ view, started }] : [];
  });
  return begun.sort((a, b) => compare(a.started, b.started)).map(({ view }) => view);
}

/** Whether something was done more than a day after `now` (ms), which only a wrong clock can have stamped. */
function isAhead(bench: Bench, now: number): boolean {
  return Object.values(bench.operations).some(({ marks }) => Object.values(marks).some((ms) => ms > now + DAY_MS));
}

/** What a build is promised for, and its weight beside others; null and 1 where the setting says nothing that counts. */
function dueOf(settings: Settings, build: string): Pick<OpenBuild, "due" | "weight"> {
  const { by, weight = 1 } = (settings[`due/${build}`] ?? {}) as Readonly<Record<string, unknown>>;
  return isWhole(by, 0, LATEST_DUE) && isWhole(weight, 1, MOST_WEIGHT) ? { due: by, weight } : { due: null, weight: 1 };
}

function isWhole(value: unknown, least: number, most: number): value is number {
  return Number.isInteger(value) && (value as number) >= least && (value as number) <= most;
}
