/** What cannot be planned, in words: each cause once, with all that it holds up. */
import { builds, summaries } from "../../live/state.ts";
import type { Unplanned } from "../../wire.gen.ts";
import { fullTitle } from "./names.ts";

/** Operations of one build that cannot be planned for one reason; waiting: what comes after them. */
export type Cause = {
  readonly build: string;
  readonly operations: readonly [string, ...string[]];
  readonly reason: string;
  readonly waiting: readonly string[];
};

/** The causes, build by build in the plan's order. */
export function causesOf(unplanned: readonly Unplanned[]): readonly Cause[] {
  const found = new Map<string, Cause>();
  for (const { build, operation, reason, after } of unplanned) {
    if (after) continue;
    const key = `${build} ${reason}`;
    const [first, ...more] = found.get(key)?.operations ?? [];
    const operations: Cause["operations"] = first === undefined ? [operation] : [first, ...more, operation];
    found.set(key, { build, operations, reason, waiting: [] });
  }
  return [...found.values()].map((cause) => ({
    ...cause,
    waiting: unplanned.flatMap(({ build, operation, after }) =>
      after && build === cause.build && cause.operations.includes(after) ? [operation] : [],
    ),
  }));
}

/** The titles of a build's operations; the build's name for all of it. */
export function titlesIn(build: string, operations: readonly string[]): string {
  return operations.map((operation) => titleIn(build, operation)).join("; ");
}

function titleIn(build: string, operation: string): string {
  if (operation === "") return nameOf(build);
  const sheet = builds.value.find(({ id }) => id === build)?.sheet;
  return sheet ? fullTitle(sheet, operation) : operation;
}

/** The build's name. */
export function nameOf(build: string): string {
  return summaries.value.find(({ id }) => id === build)?.name || build;
}

/** "Glue the frame: it takes 4 bar clamps, the shop has 2.": why a build is not done. */
export function because({ build, operations: [first], reason }: Cause): string {
  const why = reason.split(". ", 1)[0]?.replace(/\.$/, "") ?? "";
  return first ? `${titleIn(build, first)}: ${why.charAt(0).toLowerCase()}${why.slice(1)}.` : `${why}.`;
}
