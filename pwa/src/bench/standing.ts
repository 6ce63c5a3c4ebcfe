/** Which setups stand, and how much still needs them before the fence may be touched. */
import type { Bench, Operation, Sheet } from "../wire.gen.ts";

export type OpenBuild = { readonly id: string; readonly name?: string; readonly sheet: Sheet; readonly bench: Bench };

/** left: parts that still have to go through it, over all open builds of the recipe. run: operations through so far. */
export type StandingSetup = {
  readonly build: string;
  readonly station: string;
  readonly setup: string;
  readonly left: number;
  readonly run: number;
  readonly reason: string;
};

/** The setup each station was last put in, over all builds, in order of stations. */
export function standingSetups(open: readonly OpenBuild[]): readonly StandingSetup[] {
  const latest = new Map<string, { readonly build: OpenBuild; readonly setup: string; readonly ms: number }>();
  for (const build of open)
    for (const [station, { setup, ms }] of Object.entries(build.bench.stations))
      if ((latest.get(station)?.ms ?? -1) < ms) latest.set(station, { build, setup, ms });
  return [...latest]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([station, { build, setup, ms }]) => {
      const users = usersOf(open, build, setup);
      const left = users.reduce((sum, [op, of]) => sum + leftOf(op, of.bench), 0);
      const run = users.filter(([op, of]) => (of.bench.operations[op.id]?.marks.finished ?? -1) >= ms).length;
      return { build: build.id, station, setup, left, run, reason: reasonOf(station, left) };
    });
}

/** Every operation that needs the setup, of this build and of others of its recipe. */
export function usersOf(
  open: readonly OpenBuild[],
  build: OpenBuild,
  setup: string,
): readonly (readonly [Operation, OpenBuild])[] {
  return open
    .filter((other) => other.id === build.id || other.sheet.recipe === build.sheet.recipe)
    .flatMap((other) => other.sheet.operations.filter((op) => op.setup === setup).map((op) => [op, other] as const));
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
