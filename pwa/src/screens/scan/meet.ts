/** What happens when a label is met: its part opens, or is ticked off where an operation waits for its parts. */
import { signal } from "@preact/signals";
import { travel } from "../../controls/travel.ts";
import { type BuildView, builds, findCode } from "../../live.ts";
import { showCode } from "../../recipe/code.ts";
import type { Operation } from "../../wire.gen.ts";
import { tickAll } from "../operation/tick.ts";
import { operationOf, titleOf } from "../words/names.ts";

/** The operation whose parts are ticked by scanning; null where a label simply opens its part. */
export const ticking = signal<{ readonly build: string; readonly operation: string } | null>(null);

/** What came of it, in a sentence; good: the part was ticked. */
export type Met = { readonly good: boolean; readonly sentence: string };

/** The build and operation that parts are ticked for. */
export function tickedFor(): { readonly view: BuildView; readonly operation: Operation } | null {
  const wanted = ticking.value;
  const view = builds.value.find(({ id }) => id === wanted?.build);
  const operation = view && wanted ? operationOf(view.sheet, wanted.operation) : undefined;
  return view && operation ? { view, operation } : null;
}

/** `code` is a whole label code. Gives null when its part was opened. */
export async function meet(code: string): Promise<Met | null> {
  const found = findCode(code);
  if (!found) return unknown(code);
  const wanted = tickedFor();
  if (!wanted) {
    travel(`/P/${code}`);
    return null;
  }
  const title = titleOf(found.build.sheet, found.id);
  if (found.old) return { good: false, sentence: `This is the label of a spoiled ${title}. Take it off.` };
  const { view, operation } = wanted;
  if (found.build.id !== view.id || !operation.parts.includes(found.id))
    return { good: false, sentence: `${title} is no part of “${operation.title}”.` };
  return tick(view, operation, found.id, title);
}

async function tick(view: BuildView, operation: Operation, id: string, title: string): Promise<Met> {
  const left = view.bench.operations[operation.id]?.left ?? [];
  if (!left.includes(id)) return { good: true, sentence: `${title} was ticked before.` };
  await tickAll(view, operation, [id]);
  const more = left.length - 1;
  return { good: true, sentence: `${title} is through. ${more ? `${more} to go.` : "That was the last."}` };
}

function unknown(code: string): Met {
  const what = `No build on this phone has the label ${showCode(code)}.`;
  return { good: false, sentence: `${what} Wait until it has synced, or look whose label it is.` };
}
