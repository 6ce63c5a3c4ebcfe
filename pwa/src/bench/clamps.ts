/** Which clamps are out, when they come back, and for what the free ones do not suffice. The phone alone says this. */
import { slug } from "../recipe/label_code.ts";
import type { Clock, Operation } from "../wire.gen.ts";
import type { OpenBuild } from "./standing.ts";

type ClampClock = Pick<Clock, "operation" | "kind" | "phase" | "least" | "too_cold"> & { readonly build: string };

/** Clamps of one kind that an operation has taken. since: when it began, ms. back: when they may come off; null unknown. */
export type ClampsOut = {
  readonly build: OpenBuild;
  readonly op: Operation;
  readonly kind: string;
  readonly count: number;
  readonly since: number;
  readonly back: number | null;
};

/** Of one kind: how many the shop has, how many are out, and when the next of them may come off; null unknown. */
export type ClampCount = {
  readonly kind: string;
  readonly have: number;
  readonly out: number;
  readonly next: number | null;
};

/**
 * Too few are free. by: what gives back the last of those that are wanted; null where all are free that the shop has.
 * holders: what has them, soonest back first.
 */
export type ClampsShort = ClampCount & {
  readonly wanted: number;
  readonly by: ClampsOut | null;
  readonly holders: readonly ClampsOut[];
};

/** The clamps that are out, those that may come off soonest first. builds: all whose clamps are the shop's. */
export function clampsOut(builds: readonly OpenBuild[], running: readonly ClampClock[]): readonly ClampsOut[] {
  return builds
    .flatMap((build) =>
      build.sheet.operations.filter((op) => holdsClamps(op, build)).flatMap((op) => takenBy(build, op, running)),
    )
    .sort((a, b) => (a.back ?? Number.MAX_SAFE_INTEGER) - (b.back ?? Number.MAX_SAFE_INTEGER));
}

/** From its beginning, when they are laid out, until they are taken off. */
function holdsClamps({ id }: Operation, { bench }: OpenBuild): boolean {
  const { status, marks } = bench.operations[id] ?? { status: "waiting", marks: {} };
  return (status === "in-hand" || status === "in-clamps") && !("clamps-off" in marks);
}

function takenBy(build: OpenBuild, op: Operation, running: readonly ClampClock[]): readonly ClampsOut[] {
  const clock = running.find((one) => one.build === build.id && one.operation === op.id && one.kind === "in-clamps");
  const back = clock && !clock.too_cold ? clock.least : null;
  const since = Math.min(...Object.values(build.bench.operations[op.id]?.marks ?? {}));
  return Object.entries(op.clamps ?? {}).map(([kind, count]) => ({ build, op, kind, count, since, back }));
}

/**
 * Of each kind that is out, and that something waits for, or of which hardly any are left for what is still to come.
 *
 * owned: how many the shop has, by kind. waiting: what cannot begin for want of clamps.
 */
export function scarceClamps(
  open: readonly OpenBuild[],
  out: readonly ClampsOut[],
  owned: Readonly<Record<string, number>>,
  waiting: readonly ClampsShort[],
): readonly ClampCount[] {
  const kinds = new Map(out.map(({ kind }) => [slug(kind), kind]));
  const counts = [...kinds.values()].flatMap((kind) => clampCount(kind, out, owned) ?? []);
  const wanted = open.flatMap(({ sheet, bench }) =>
    sheet.operations
      .filter(({ id }) => !isBegun(bench.operations[id]?.status))
      .flatMap(({ clamps = {} }) => Object.entries(clamps)),
  );
  return counts.filter((count) => {
    const left = count.have - count.out;
    const isSame = (kind: string) => slug(kind) === slug(count.kind);
    const isFew = left * 4 <= count.have && wanted.some(([kind, many]) => isSame(kind) && many > left);
    return isFew || waiting.some(({ kind }) => isSame(kind));
  });
}

function isBegun(status: string | undefined): boolean {
  return status !== "waiting" && status !== "ready" && status !== "spoiled";
}

/** The first kind of which too few are free for an operation; null where they suffice, or nobody has counted them. */
export function shortFor(
  build: string,
  op: Operation,
  out: readonly ClampsOut[],
  owned: Readonly<Record<string, number>>,
): ClampsShort | null {
  const others = out.filter((one) => one.build.id !== build || one.op.id !== op.id);
  for (const [kind, wanted] of Object.entries(op.clamps ?? {})) {
    const have = ownedOf(kind, owned);
    if (have === undefined) continue;
    const count = countOf(kind, have, others);
    const missing = Math.min(wanted, have) - (have - count.out);
    const holders = others.filter((one) => slug(one.kind) === slug(kind));
    if (have - count.out < wanted) return { ...count, wanted, by: lastWanted(missing, holders), holders };
  }
  return null;
}

/** What gives back the last of so many clamps; null where none are missing, or not so many are out. */
function lastWanted(missing: number, holders: readonly ClampsOut[]): ClampsOut | null {
  let back = 0;
  if (missing <= 0) return null;
  for (const one of holders) {
    back += one.count;
    if (back >= missing) return one;
  }
  return null;
}

/** How many of a kind there are and are out; null where nobody has counted them. */
export function clampCount(
  kind: string,
  out: readonly ClampsOut[],
  owned: Readonly<Record<string, number>>,
): ClampCount | null {
  const have = ownedOf(kind, owned);
  return have === undefined ? null : countOf(kind, have, out);
}

function countOf(kind: string, have: number, out: readonly ClampsOut[]): ClampCount {
  const same = out.filter((one) => slug(one.kind) === slug(kind));
  return { kind, have, out: same.reduce((sum, { count }) => sum + count, 0), next: same[0]?.back ?? null };
}

/** How many of a kind the shop has; undefined where nobody has counted them. */
function ownedOf(kind: string, owned: Readonly<Record<string, number>>): number | undefined {
  return Object.entries(owned).findLast(([one]) => slug(one) === slug(kind))?.[1];
}
