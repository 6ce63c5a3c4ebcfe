import type { BuildView } from "../../bench/loaded_builds.ts";
import { record, undo } from "../../live/record.ts";
import type { Operation } from "../../wire.gen.ts";

/** A part is through; a second tap takes the tick back. */
export function turn(view: BuildView, operation: Operation, id: string, ticked: boolean): void {
  if (!ticked) {
    void record(view.id, { kind: "ticked", operation: operation.id, part: id }, [operation.id, id]);
    return;
  }
  const tick = view.book.latest("ticked", operation.id, id);
  if (tick) void undo(view.id, tick.id);
}

/** All of them are through. */
export async function tickAll(view: BuildView, operation: Operation, ids: readonly string[]): Promise<void> {
  for (const id of ids)
    await record(view.id, { kind: "ticked", operation: operation.id, part: id }, [operation.id, id]);
}
