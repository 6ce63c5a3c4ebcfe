/** What ticking by scanning does: parts are ticked off the operation one came from, or off those in hand. */
import { signal } from "@preact/signals";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { builds } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import { tickAll } from "../operation/tick.ts";
import { around, counted, fullTitle, listed, operationOf } from "../words/names.ts";
import type { Bearer } from "./resolve_label.ts";

/** The operation whose parts are ticked by scanning; null where it is whatever is in hand. */
export const ticking = signal<{ readonly build: string; readonly operation: string } | null>(null);

/** What came of a scan, in a sentence. good: yes, no, or neither. */
export type Met = { readonly good: boolean | null; readonly sentence: string };

/** The build and operation that parts are ticked for. */
export function tickedFor(): { readonly view: BuildView; readonly operation: Operation } | null {
  const wanted = ticking.value;
  const view = builds.value.find(({ id }) => id === wanted?.build);
  const operation = view && wanted ? operationOf(view.sheet, wanted.operation) : undefined;
  return view && operation ? { view, operation } : null;
}

/** Every operation that a scan may tick parts off now. */
export function tickable(): readonly Operation[] {
  const wanted = tickedFor();
  return wanted ? [wanted.operation] : builds.value.flatMap(inHand);
}

function inHand({ sheet, bench }: BuildView): readonly Operation[] {
  return sheet.operations.filter(({ id, parts }) => parts.length > 0 && bench.operations[id]?.status === "in-hand");
}

/** Ticks the part off the operation that it goes through. */
export async function tick({ view, id }: Bearer): Promise<Met> {
  const name = fullTitle(view.sheet, id);
  const wanted = tickedFor();
  const own = wanted ? [wanted.operation].filter(() => wanted.view.id === view.id) : inHand(view);
  const [operation, part] = operationFor(view, own, id) ?? [];
  if (!operation || !part) return { good: false, sentence: notHere(name, tickable()) };
  const left = leftOf(view, operation);
  if (!left.includes(part)) return { good: null, sentence: `${name} was ticked off “${operation.title}” before.` };
  await tickAll(view, operation, [part]);
  const more = left.length - 1;
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
  return `${name} does not go through ${listed(own.map(({ title }) => `“${title}”`))}. It was not ticked.`;
}
