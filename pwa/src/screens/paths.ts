/**
 * Addresses of places in the page. A pattern such as "/b/:build/o/:operation" both makes an address and reads one.
 *
 * Only places that another screen links to have their pattern here; the table of all places is routes.tsx.
 */
import type { Member } from "../bench/alike.ts";
import { PATHS, slug } from "../recipe/label_code.ts";
import type { Fixture } from "../wire.gen.ts";

type Names<Pattern extends string> = Pattern extends `${string}:${infer Name}/${infer Rest}`
  ? Name | Names<Rest>
  : Pattern extends `${string}:${infer Name}`
    ? Name
    : never;

/** The parameters of a pattern: "/b/:build/o/:operation" has build and operation. */
export type Params<Pattern extends string> = { readonly [Name in Names<Pattern>]: string };

export const BUILD = "/b/:build";
export const LOG = "/b/:build/log";
export const CUTTING_LIST = "/b/:build/cut";
export const PRINT = "/b/:build/print";
export const OPERATION = "/b/:build/o/:operation";
export const BATCH = "/batch/:members";
export const PART = "/b/:build/p/:part";
export const RECIPE = "/recipes/:name";
export const WALL = "/wall";

/** The address of a build. */
export const buildPath = (build: string) => addressOf(BUILD, { build });
/** The address of a build's log. */
export const logPath = (build: string) => addressOf(LOG, { build });
/** The address of a build's cutting list. */
export const cuttingListPath = (build: string) => addressOf(CUTTING_LIST, { build });
/** The address where a build's labels are printed. only: one label by its id; "" for all. */
export const printPath = (build: string, only = "") =>
  `${addressOf(PRINT, { build })}${only && `?only=${encodeURIComponent(only)}`}`;
/** The address of an operation. */
export const operationPath = (build: string, operation: string) => addressOf(OPERATION, { build, operation });
/** The address of operations taken up together; of a single one its own. At least one. */
export const batchPath = (members: readonly Member[]) => {
  const [first, ...others] = members;
  return first && others.length === 0
    ? operationPath(first.build, first.operation)
    : addressOf(BATCH, { members: members.map(({ build, operation }) => `${build} ${operation}`).join(",") });
};
/** The operations that an address of a batch names; other text in it is passed over. */
export const membersIn = (text: string): readonly Member[] =>
  text.split(",").flatMap((one) => {
    const [, build, operation] = /^(\S+) (.+)$/.exec(one) ?? [];
    return build && operation ? [{ build, operation }] : [];
  });
/** The address of a part or assembly. */
export const partPath = (build: string, part: string) => addressOf(PART, { build, part });
/** The address of a fixture: of the part that it is, or of the shop's own. */
export const fixturePath = (build: string, { of = [], owned = "" }: Fixture) =>
  of[0] === undefined ? `/${PATHS.fixture}/${slug(owned)}` : partPath(build, of[0]);
/** The address of the rack of a kind of clamps. */
export const rackPath = (kind: string) => `/${PATHS.rack}/${slug(kind)}`;
/** The address of a recipe. */
export const recipePath = (name: string) => addressOf(RECIPE, { name });

function addressOf<Pattern extends string>(pattern: Pattern, params: Params<Pattern>): string {
  return pattern.replace(/:(\w+)/g, (_, name: string) => encodeURIComponent(params[name as keyof typeof params]));
}

/** What a path has for each parameter of the pattern; null when it is not of this pattern. */
export function match<Pattern extends string>(pattern: Pattern, path: string): Params<Pattern> | null {
  const [wanted, given] = [pattern.split("/").filter(Boolean), path.split("/").filter(Boolean).map(decoded)];
  const isParam = (step: string) => step.startsWith(":");
  // Labels are printed in capitals, and typed in either case.
  const fits = (step: string, n: number) => isParam(step) || given[n] === step || given[n]?.toUpperCase() === step;
  if (wanted.length !== given.length || !wanted.every(fits)) return null;
  const found = wanted.flatMap((step, n) => (isParam(step) ? [[step.slice(1), given[n]]] : []));
  return Object.fromEntries(found) as Params<Pattern>;
}

function decoded(step: string): string {
  try {
    return decodeURIComponent(step);
  } catch {
    return step;
  }
}
