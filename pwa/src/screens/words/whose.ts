/** Operations of several pieces and builds, and whose they are in words. */
import type { Member } from "../../bench/alike.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import type { Operation, OperationState } from "../../wire.gen.ts";
import { fullTitle, listed, operationOf } from "./names.ts";

/** An operation and its build. */
export type Work = { readonly view: BuildView; readonly operation: Operation };

/** The operations that these name, those of builds that are not among `views` left out. */
export function worksOf(members: readonly Member[], views: readonly BuildView[]): readonly Work[] {
  return members.flatMap(({ build, operation: id }) => {
    const view = views.find((one) => one.id === build);
    const operation = view && operationOf(view.sheet, id);
    return view && operation ? [{ view, operation }] : [];
  });
}

/** What one or several of them are called: "Cut legs, piece B", "Cut legs, A and B". */
export function titleOfAll(works: readonly Work[]): string {
  const [first, ...others] = works;
  if (!first) return "";
  if (others.length === 0) return fullTitle(first.view.sheet, first.operation.id);
  return [first.operation.title, whose(works)].filter(Boolean).join(", ");
}

/** Whose these are: the pieces "A and B"; of several builds as `inFull`. among: all that they stand among. */
export function whose(works: readonly Work[], among: readonly Work[] = works): string {
  return areOfOne(among) ? listed(works.flatMap(piecesOf)) : inFull(works);
}

/** Whose these are, with the names of their builds: "Hall A and B; Porch". */
export function inFull(works: readonly Work[]): string {
  return byBuild(works)
    .map(([first, ...others]) => {
      const { view } = first;
      return [view.name || view.sheet.title, listed([first, ...others].flatMap(piecesOf))].filter(Boolean).join(" ");
    })
    .join("; ");
}

/** Whether all are of one build. */
export function areOfOne(works: readonly Work[]): boolean {
  return byBuild(works).length < 2;
}

/** Those of each build, in the order of the first of each. */
export function byBuild(works: readonly Work[]): readonly (readonly [Work, ...Work[]])[] {
  const found = new Map<string, [Work, ...Work[]]>();
  for (const work of works) {
    const known = found.get(work.view.id);
    if (known) known.push(work);
    else found.set(work.view.id, [work]);
  }
  return [...found.values()];
}

/** Its piece, where its build has several. */
function piecesOf({ view, operation }: Work): readonly string[] {
  return operation.piece && view.sheet.pieces.length > 1 ? [operation.piece] : [];
}

/** How far one of them is. */
export function statusOf({ view, operation }: Work): OperationState["status"] {
  return view.bench.operations[operation.id]?.status ?? "waiting";
}

/** The parts of these that are not through yet. */
export function leftIn(works: readonly Work[]): number {
  return works.reduce((sum, { view, operation }) => sum + (view.bench.operations[operation.id]?.left.length ?? 0), 0);
}

/** All their parts. */
export function partsIn(works: readonly Work[]): number {
  return works.reduce((sum, { operation }) => sum + operation.parts.length, 0);
}
