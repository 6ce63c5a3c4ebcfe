/** Ticking parts off an operation: by a tap, all at once, or by scanning them. */
import { signal } from "@preact/signals";
import type { Member } from "../../bench/alike.ts";
import type { Bearer, BuildView } from "../../bench/loaded_builds.ts";
import { record, undo } from "../../live/record.ts";
import { builds } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import type { ScanAnswer } from "../scan/resolve_label.ts";
import { around, counted, fullTitle, listed } from "../words/names.ts";
import { leftIn, type Work, worksOf } from "../words/whose.ts";

/** The operations whose parts are ticked by scanning; null where it is whatever is in hand. */
export const ticking = signal<readonly Member[] | null>(null);

/** The operations that parts are ticked for, where the scanner was opened for some; else none. */
export function tickingFor(): readonly Work[] {
  return worksOf(ticking.value ?? [], builds.value);
}

/** The operations that a scan can tick parts off now. */
export function tickableOperations(): readonly Operation[] {
  const wanted = tickingFor();
  return wanted.length ? wanted.map(({ operation }) => operation) : builds.value.flatMap(inHand);
}

function inHand({ sheet, bench }: BuildView): readonly Operation[] {
  return sheet.operations.filter(({ id, parts }) => parts.length > 0 && bench.operations[id]?.status === "in-hand");
}

/** Ticks a scanned part off the operation that it goes through; says what came of it. Never rejects. */
export async function tickScanned({ view, id }: Bearer): Promise<ScanAnswer> {
  const name = fullTitle(view.sheet, id);
  const wanted = tickingFor();
  const own = wanted.length
    ? wanted.filter((one) => one.view.id === view.id).map((one) => one.operation)
    : inHand(view);
  const [operation, part] = operationFor(view, own, id) ?? [];
  if (!operation || !part) return { good: false, sentence: notHere(name, tickableOperations()) };
  const left = leftOf(view, operation);
  if (!left.includes(part)) return { good: null, sentence: `${name} was ticked off “${operation.title}” before.` };
  await tickAll(view, operation, [part]);
  const more = (wanted.length ? leftIn(wanted) : left.length) - 1;
  const rest = more ? `${counted(more, "part")} to go.` : `That was the last of “${operation.title}”.`;
  return { good: true, sentence: `${name} is through. ${rest}` };
}

function leftOf(view: BuildView, operation: Operation): readonly string[] {
  return view.bench.operations[operation.id]?.left ?? [];
}

/** The operation that takes this part, or what it is glued into; first one that still waits for it. */
function operationFor(view: BuildView, own: readonly Operation[], id: string): [Operation, string] | null {
  const ids = [id, ...around(view, id)];
  const fits = own.flatMap((op): [Operation, string][] => {
    const part = ids.find((one) => op.parts.includes(one));
    return part ? [[op, part]] : [];
  });
  return fits.find(([op, part]) => leftOf(view, op).includes(part)) ?? fits[0] ?? null;
}

function notHere(name: string, own: readonly Operation[]): string {
  if (own.length === 0) return `Nothing is in hand, so ${name} was not ticked. Begin an operation first.`;
  const titles = [...new Set(own.map(({ title }) => `“${title}”`))];
  return `${name} does not go through ${listed(titles)}. It was not ticked.`;
}

/** Ticks a part off, or takes its tick back. ticked: whether it is ticked now. */
export function toggleTick(view: BuildView, operation: Operation, id: string, ticked: boolean): void {
  if (!ticked) {
    void record(view.id, { kind: "ticked", operation: operation.id, part: id }, [operation.id, id]);
    return;
  }
  const tick = view.book.latest("ticked", operation.id, id);
  if (tick) void undo(view.id, tick.id);
}

/** Ticks these parts off, one after the other. Never rejects. */
export async function tickAll(view: BuildView, operation: Operation, ids: readonly string[]): Promise<void> {
  for (const id of ids)
    await record(view.id, { kind: "ticked", operation: operation.id, part: id }, [operation.id, id]);
}
