/**
 * Fixtures of open builds: to the planner kinds like those of clamps, held from one task to the end of another.
 *
 * Twin of plan/tasks/fixtures.py.
 */
import { fixtureKey, holdsFixtures, howMany } from "../../bench/fixtures.ts";
import type { Fixture, Hold, Operation } from "../../wire.gen.ts";
import { FIXTURE } from "../model/problem.ts";
import { keyOf, lastKey, type OpenBuild, operationsOf, type Tasks } from "./task.ts";

/** The kind of a fixture in the problem's holds. */
function fixtureKind(build: string, fixture: Fixture): string {
  return FIXTURE + fixtureKey(build, fixture);
}

/** The fixtures that each operation of the build will hold, or holds already. */
export function fixtureHolds(build: OpenBuild, tasks: Tasks): readonly Hold[] {
  const { id, sheet, bench } = build;
  const kinds = new Map((sheet.fixtures ?? []).map((fixture) => [fixture.id, fixtureKind(id, fixture)]));
  const ops = operationsOf(build);
  return sheet.operations.flatMap((op) => {
    const [work, frees] = [keyOf(id, op.id), freeingKey(id, op, ops)];
    if (!tasks.has(work) && !holdsFixtures(op, bench.operations)) return [];
    return Object.entries(op.fixtures ?? {}).map(([fixture, count]) => ({
      kind: kinds.get(fixture) ?? "",
      count,
      take: tasks.has(work) ? work : "",
      give: tasks.has(frees) ? frees : "",
    }));
  });
}

/** The key of the task at whose end the operation's fixtures are free. ops: the build's, by id. */
function freeingKey(build: string, op: Operation, ops: ReadonlyMap<string, Operation>): string {
  return lastKey(build, ops.get(op.held_until ?? "") ?? op);
}

/** How many there are of each fixture, by kind. owned: of the shop's own, by name. */
export function fixtureCounts(
  builds: readonly OpenBuild[],
  owned: Readonly<Record<string, number>>,
): Readonly<Record<string, number>> {
  const found = new Map<string, { readonly fixture: Fixture; readonly most: number }>();
  for (const { id, sheet } of builds)
    for (const fixture of sheet.fixtures ?? []) {
      const kind = fixtureKind(id, fixture);
      const taken = sheet.operations.map((op) => op.fixtures?.[fixture.id] ?? 0);
      found.set(kind, { fixture, most: Math.max(found.get(kind)?.most ?? 0, ...taken) });
    }
  return Object.fromEntries([...found].map(([kind, { fixture, most }]) => [kind, howMany(fixture, owned, most)]));
}

/** The title of each fixture, by kind. */
export function fixtureTitles(builds: readonly OpenBuild[]): ReadonlyMap<string, string> {
  return new Map(
    builds.flatMap(({ id, sheet }) => (sheet.fixtures ?? []).map((one) => [fixtureKind(id, one), one.title] as const)),
  );
}
