/** How much work and waiting still hangs on each operation. */
import { MINUTE_MS } from "../durations.ts";
import type { Operation, Sheet } from "../wire.gen.ts";

const known = new WeakMap<Sheet, ReadonlyMap<string, number>>();

/** By operation: minutes from its beginning to the end of the longest chain that hangs on it. */
export function tails(sheet: Sheet): ReadonlyMap<string, number> {
  const found = known.get(sheet) ?? tailsIn(sheet);
  known.set(sheet, found);
  return found;
}

/** From the last operation back: they stand in an order that can be worked. */
function tailsIn(sheet: Sheet): ReadonlyMap<string, number> {
  const byId = new Map(sheet.operations.map((op) => [op.id, op]));
  const found = new Map<string, number>();
  const hanging = new Map<string, number>();
  for (const op of [...sheet.operations].reverse()) {
    const tail = op.minutes + waitOf(op, "in-clamps") + (hanging.get(op.id) ?? 0);
    found.set(op.id, tail);
    for (const [id, wait] of waits(op, byId)) hanging.set(id, Math.max(hanging.get(id) ?? 0, wait + tail));
  }
  return found;
}

/** What comes before the operation, each with the minutes it must rest first. */
function waits(op: Operation, byId: ReadonlyMap<string, Operation>): ReadonlyMap<string, number> {
  const found = new Map(op.after.map((id) => [id, 0]));
  for (const { operation, clock } of op.holds)
    found.set(operation, Math.max(found.get(operation) ?? 0, waitAfter(byId.get(operation), clock)));
  return found;
}

/** What of a wait is left once the operation is through: one from the clamping runs on beside the clamps. */
function waitAfter(op: Operation | undefined, kind: string): number {
  const fromClamping = op?.clocks.find((clock) => clock.kind === kind)?.starts === "clamped";
  return Math.max(0, waitOf(op, kind) - (fromClamping ? waitOf(op, "in-clamps") : 0));
}

/** The planned minutes of one of its waits; 0 when it has no such clock. */
function waitOf(op: Operation | undefined, kind: string): number {
  return (op?.clocks.find((clock) => clock.kind === kind)?.least_ms ?? 0) / MINUTE_MS;
}
