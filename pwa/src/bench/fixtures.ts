/**
 * Which operations hold their fixtures now, and what is in the way of others.
 *
 * Twin of bench/fixtures.py as far as that goes; what is in the way, the phone alone says.
 */
import { slug } from "../recipe/label_code.ts";
import type { Clock, Fixture, Operation, OperationState } from "../wire.gen.ts";
import type { OpenBuild } from "./standing.ts";

/** States of an operation in which nothing of it stands in a fixture. */
const FREE: ReadonlySet<string> = new Set(["waiting", "ready", "spoiled"]);

/** Whether the operation has begun, and what frees its fixtures has not happened. states: of the build, by id. */
export function holdsFixtures(op: Operation, states: Readonly<Record<string, OperationState>>): boolean {
  const state = states[op.id];
  if (!state || !Object.keys(op.fixtures ?? {}).length || FREE.has(state.status)) return false;
  if (op.held_until) return states[op.held_until]?.status !== "done";
  return state.status !== "done" && !("clamps-off" in state.marks);
}

/** A fixture's name over all builds: one of the shop's has the same in each of them. */
export function fixtureKey(build: string, fixture: Fixture): string {
  return fixture.of?.length ? `${build}|${fixture.id}` : `|${slug(fixture.owned ?? "")}`;
}

/** How many there are of a fixture. owned: of the shop's, by name. most: for one that the shop has not counted. */
export function howMany(fixture: Fixture, owned: Readonly<Record<string, number>>, most: number): number {
  if (fixture.of?.length) return fixture.of.length;
  const name = slug(fixture.owned ?? "");
  return Object.entries(owned).findLast(([one]) => slug(one) === name)?.[1] ?? most;
}

/** An operation and the fixture that it holds, or is to hold. key: of the fixture, over all builds. */
export type FixtureUse = {
  readonly build: OpenBuild;
  readonly op: Operation;
  readonly fixture: Fixture;
  readonly key: string;
  readonly count: number;
};

/** All operations of these builds that hold fixtures at some time, in order. */
export function fixtureUses(builds: readonly OpenBuild[]): readonly FixtureUse[] {
  return builds.flatMap((build) =>
    (build.sheet.fixtures ?? []).flatMap((fixture) => {
      const key = fixtureKey(build.id, fixture);
      return build.sheet.operations.flatMap((op) => {
        const count = op.fixtures?.[fixture.id] ?? 0;
        return count ? [{ build, op, fixture, key, count }] : [];
      });
    }),
  );
}

/** Whether it holds the fixture now. */
export function isHeld({ build, op }: FixtureUse): boolean {
  return holdsFixtures(op, build.bench.operations);
}

/** Why a fixture is not free: who holds it. clock: that of the clamps, when it runs: not before its end. */
export type Taken = { readonly fixture: Fixture; readonly by: FixtureUse; readonly clock: FixtureClock | null };
export type FixtureClock = Pick<Clock, "operation" | "kind" | "phase" | "least"> & { readonly build: string };

/**
 * The first fixture of an operation that is taken, and by what; null when all are free, or it holds them itself.
 *
 * uses: of all open builds. owned: how many the shop has of its own, by name.
 */
export function takenFrom(
  build: string,
  op: Operation,
  uses: readonly FixtureUse[],
  running: readonly FixtureClock[],
  owned: Readonly<Record<string, number>>,
): Taken | null {
  for (const wanted of uses.filter((use) => use.build.id === build && use.op.id === op.id)) {
    const same = uses.filter(({ key }) => key === wanted.key);
    const holders = same.filter((use) => use !== wanted && isHeld(use));
    const used = holders.reduce((sum, { count }) => sum + count, 0);
    const many = howMany(wanted.fixture, owned, Math.max(...same.map(({ count }) => count)));
    const [first] = holders.map((by) => ({ by, clock: clampClock(by, running) })).sort((a, b) => endOf(a) - endOf(b));
    if (first && used + wanted.count > many) return { fixture: wanted.fixture, ...first };
  }
  return null;
}

/** The clock that keeps its clamps on; null when none runs. */
export function clampClock({ build, op }: FixtureUse, running: readonly FixtureClock[]): FixtureClock | null {
  const clock = running.find((one) => one.build === build.id && one.operation === op.id && one.kind === "in-clamps");
  return clock?.phase === "running" ? clock : null;
}

function endOf({ clock }: { readonly clock: FixtureClock | null }): number {
  return clock?.least ?? 0;
}
