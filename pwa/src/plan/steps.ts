/** A plan in minutes as steps at moments, the way the server presents them (report/presentation.py), without its words. */
import { isUnclamped } from "../bench/unclamped.ts";
import { MINUTE_MS } from "../durations.ts";
import type { Hold, Placed, Plan, PlannedTask, PresentedPlan, Problem } from "../wire.gen.ts";
import { fixtureTitles } from "./tasks/fixtures.ts";
import type { OpenBuild, Task, Tasks } from "./tasks/task.ts";

/** What is said of a plan in figures. No step has a reason, and none says how much later it may start. */
export type Presented = Pick<
  PresentedPlan,
  "made_at" | "start" | "hours" | "steps" | "finish" | "changes" | "overrun_ms" | "late_ms"
>;

/** The plan of the problem of these builds, made at `now`: server time in ms. */
export function presented(
  plan: Plan,
  problem: Problem,
  tasks: Tasks,
  builds: readonly OpenBuild[],
  now: number,
): Presented {
  const moment = (minute: number) => now + minute * MINUTE_MS;
  const step = stepMaker(plan, problem, builds, moment);
  const used = problem.windows.filter(({ start }) => start <= plan.finish);
  return {
    made_at: now,
    start: now,
    hours: used.map(({ start, end }) => [moment(start), moment(end)]),
    steps: plan.placed.flatMap((one) => {
      const task = tasks.get(one.op);
      return task ? [step(one, task)] : [];
    }),
    finish: moment(plan.finish),
    changes: plan.changes,
    overrun_ms: plan.overrun * MINUTE_MS,
    late_ms: plan.late * MINUTE_MS,
  };
}

function stepMaker(
  { placed }: Plan,
  { crew, holds, ops, stations }: Problem,
  builds: readonly OpenBuild[],
  moment: (minute: number) => number,
): (one: Placed, task: Task) => PlannedTask {
  const changed = withChanges(placed, { ops, stations });
  const titles = fixtureTitles(builds);
  const takes = grouped(holds, ({ take }) => take);
  const gives = grouped(
    holds.filter(({ take, give }) => take !== give),
    ({ give }) => give,
  );
  return (one, { act, build, operation, piece }) => {
    const held = [...(takes.get(one.op) ?? []), ...(gives.get(one.op) ?? [])];
    const { id, title, station, setup } = operation;
    return {
      build,
      operation: id,
      act,
      piece,
      title,
      station,
      setup: setup ?? "",
      changes: changed.has(one.op),
      setup_at: moment(one.setup),
      start: moment(one.start),
      end: moment(one.end),
      free: moment(one.free),
      clamps: counts(held.filter(({ kind }) => !titles.has(kind))),
      slack_ms: 0,
      reason: "",
      fixtures: counts(
        held.flatMap(({ kind, count }) => (titles.has(kind) ? { kind: titles.get(kind) ?? kind, count } : [])),
      ),
      unclamped: isUnclamped(operation),
      hand: crew.length > 1 && one.hand !== null ? (crew[one.hand]?.name ?? "") : "",
    };
  };
}

function grouped(holds: readonly Hold[], key: (hold: Hold) => string): ReadonlyMap<string, readonly Hold[]> {
  const found = new Map<string, Hold[]>();
  for (const hold of holds) found.set(key(hold), [...(found.get(key(hold)) ?? []), hold]);
  return found;
}

/** How many of each kind; of one that is named twice, the last count. */
function counts(holds: readonly Pick<Hold, "kind" | "count">[]): Readonly<Record<string, number>> {
  return Object.fromEntries(holds.map(({ kind, count }) => [kind, count]));
}

/** The operations before which a station's setup is changed. */
function withChanges(placed: readonly Placed[], { ops, stations }: Pick<Problem, "ops" | "stations">): Set<string> {
  const known = new Map(ops.map((op) => [op.id, op]));
  const standing = new Map(stations.map(({ id, standing }) => [id, standing]));
  const found = new Set<string>();
  for (const { op: id } of placed) {
    const op = known.get(id);
    if (!op?.setup || standing.get(op.station) === op.setup) continue;
    standing.set(op.station, op.setup);
    found.add(id);
  }
  return found;
}
