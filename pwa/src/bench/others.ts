/** What other people have in hand, as far as the phones that they carry tell. */
import type { Happening } from "../wire.gen.ts";
import { compare } from "./book.ts";
import { keyOf } from "./choice.ts";
import type { BuildView } from "./loaded_builds.ts";

/** What the server has recorded by itself is nobody's. */
const SERVER = "0".repeat(16);

/** The keys of operations in hand that were begun, or last ticked, on another device than this one. */
export function inOtherHands(builds: readonly BuildView[], device: string): ReadonlySet<string> {
  return new Set(
    builds.flatMap((view) =>
      view.sheet.operations
        .filter(({ id }) => view.bench.operations[id]?.status === "in-hand")
        .filter((op) => isElsewhere(lastHand(view, op.id, op.parts), device))
        .map(({ id }) => keyOf({ build: view.id, operation: id })),
    ),
  );
}

function isElsewhere(last: Happening | undefined, device: string): boolean {
  return last !== undefined && last.at.device !== device && last.at.device !== SERVER;
}

/** The last beginning or tick of an operation. */
function lastHand({ book }: BuildView, operation: string, parts: readonly string[]): Happening | undefined {
  const ticks = parts.flatMap((part) => book.latest("ticked", operation, part) ?? []);
  return [...ticks, ...(["began", "mixed", "glue-on"] as const).flatMap((kind) => book.latest(kind, operation) ?? [])]
    .sort(compare)
    .at(-1);
}
