/**
 * What a spoiled part leaves alone: work on other parts goes on, while what was done to the spoiled one is done again.
 *
 * The log counts a whole operation as open again with one of its parts (bench/parts.ts), and so does the plan; what has to
 * wait for that, the phone alone decides.
 */
import type { Bench, Operation, OperationState, Sheet } from "../wire.gen.ts";
import { members } from "./parts.ts";

/**
 * The parts for whose sake an operation is open again, its others being through; none where it is open for another reason.
 *
 * A tick that still counts says that it was open anyway: begun again, it has none yet.
 */
export function reopenedFor(op: Operation, { left, marks }: OperationState): readonly string[] {
  return marks.ticked === undefined && left.length > 0 && left.length < op.parts.length ? left : [];
}

/** The same bench, where nothing waits for operations that are open again only for parts it has nothing to do with. */
export function leftAlone(sheet: Sheet, bench: Bench): Bench {
  const again = new Map(
    sheet.operations.flatMap((op) => {
      const state = bench.operations[op.id];
      const parts = state ? reopenedFor(op, state) : [];
      return parts.length ? [[op.id, parts] as const] : [];
    }),
  );
  if (again.size === 0) return bench;
  const inside = members(sheet);
  const shared = new Set(sheet.parts.filter(({ piece }) => !piece).map(({ id }) => id));
  const waiting = sheet.operations.flatMap((op) => {
    const state = bench.operations[op.id];
    if (!state?.waits_for.length) return [];
    const needed = neededBy(sheet, op).flatMap((id) => inside.get(id) ?? [id]);
    const matters = (id: string) => shared.has(id) || needed.includes(id);
    const waits_for = state.waits_for.filter((id) => again.get(id)?.some(matters) ?? true);
    const status = state.status === "waiting" && !waits_for.length ? "ready" : state.status;
    return waits_for.length < state.waits_for.length ? [[op.id, { ...state, waits_for, status }] as const] : [];
  });
  return { ...bench, operations: { ...bench.operations, ...Object.fromEntries(waiting) } };
}

/** The parts and assemblies that it works on, or stands in. */
function neededBy({ fixtures = [] }: Sheet, op: Operation): readonly string[] {
  return [...op.parts, ...fixtures.filter(({ id }) => op.fixtures?.[id]).flatMap(({ of = [] }) => of)];
}
