/** Which operations hold their fixtures now. Twin of bench/fixtures.py. */
import { slug } from "../recipe/label_code.ts";
import type { Fixture, Operation, OperationState } from "../wire.gen.ts";

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
