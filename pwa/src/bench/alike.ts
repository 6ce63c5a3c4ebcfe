/**
 * Which operations may be taken up together, and what those have in common.
 *
 * What is glued never is, since each glue-up has an open time of its own; nor is a dry fit, after which its glue-up comes.
 */
import type { Bench, Operation, Setup, Sheet } from "../wire.gen.ts";
import { partMm, type Sizes, setValues, sizesOf } from "./sizes.ts";
import type { OpenBuild } from "./standing.ts";

/** One operation of a build. */
export type Member = { readonly build: string; readonly operation: string };

/** Whether two operations may be taken up together, whenever that will be. open: the builds that they are of. */
export function alikeAmong(open: readonly OpenBuild[]): (one: Member, other: Member) => boolean {
  const kind = ({ build: id, operation }: Member) => {
    const build = open.find((one) => one.id === id);
    const op = build?.sheet.operations.find((one) => one.id === operation);
    return build && op && mayJoin(op) ? kindOf(build, op) : null;
  };
  return (one, other) => kind(one) !== null && kind(one) === kind(other);
}

/** Whether it is ready, or begun and not further, and may be in a batch at all. */
export function isPlain(op: Operation, bench: Bench): boolean {
  const state = bench.operations[op.id];
  if (!mayJoin(op) || !state) return false;
  if (state.status === "ready") return true;
  return state.status === "in-hand" && Object.keys(state.marks).every((mark) => mark === "began" || mark === "ticked");
}

/** Not what is glued, put together dry or kept in a form, nor what a clock runs for while it is done; coats may be. */
function mayJoin({ step, held_until, clocks }: Operation): boolean {
  if (step === "glue-up" || step === "dry-fit" || held_until) return false;
  return step === "coat" || clocks.every(({ starts }) => starts === "finished");
}

/** What operations of one batch have in common: recipe, words, station, and all that is set and made there. */
export function kindOf({ sheet, bench }: OpenBuild, op: Operation): string {
  const known = knownFor(bench);
  const kind = known.kinds.get(op.id);
  if (kind !== undefined) return kind;
  const setup = sheet.setups.find(({ id }) => id === op.setup);
  const sizes = known.sizes.get(op.piece) ?? sizesOf(sheet, bench.as_built, op.piece);
  const words = [sheet.recipe, op.name, op.title, op.station, op.setup, op.do];
  const found = JSON.stringify([words, setup ? set(setup, sizes) : null, made(sheet, op, sizes)]);
  known.sizes.set(op.piece, sizes);
  known.kinds.set(op.id, found);
  return found;
}

/** By operation its kind, and by piece its sizes; they change only with what was measured. */
type Known = { readonly kinds: Map<string, string>; readonly sizes: Map<string, Sizes> };

const knownByBuilt = new WeakMap<Bench["as_built"], Known>();

function knownFor({ as_built }: Bench): Known {
  const known = knownByBuilt.get(as_built) ?? { kinds: new Map(), sizes: new Map() };
  knownByBuilt.set(as_built, known);
  return known;
}

function set(setup: Setup, sizes: Sizes): readonly (readonly [string, string])[] {
  return Object.entries(setValues(setup, sizes)).map(([name, value]) => [name, rounded(value)] as const);
}

/** The sizes that it makes of its parts, each once. */
function made(sheet: Sheet, op: Operation, sizes: Sizes): readonly string[] {
  const own = new Set(op.parts);
  const found = (op.to_size ?? []).flatMap(({ part, stage, measures }) => {
    const rows = (sheet.cutting_list ?? []).filter((row) => row.part === part && row.of.some((id) => own.has(id)));
    return rows.map(({ of, rough_mm }) => {
      const one = sheet.parts.find(({ id }) => own.has(id) && of.includes(id));
      const mm = stage === "rough" || !one ? rough_mm : partMm(one, sizes);
      return `${part} ${measures.map((measure) => `${measure} ${rounded(mm[MEASURES.indexOf(measure)] ?? null)}`)}`;
    });
  });
  return [...new Set(found)].sort();
}

const MEASURES = ["length", "width", "thickness"];

/** To a hundredth, far finer than any stop is set. */
function rounded(value: number | null): string {
  return value === null ? "?" : value.toFixed(2);
}
