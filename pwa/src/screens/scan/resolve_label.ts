/** What a label belongs to in this shop. */
import type { Bearer } from "../../bench/loaded_builds.ts";
import { findCode, summaries } from "../../live/state.ts";
import {
  type LabelTarget,
  labelTarget,
  NotALabelCode,
  readCode,
  showCode,
  similarCodes,
} from "../../recipe/label_code.ts";
import { fullTitle } from "../words/names.ts";

/** What came of a scan, in a sentence. good: yes, no, or neither. */
export type ScanAnswer = { readonly good: boolean | null; readonly sentence: string };

/** What a label is. put away: of a finished build. no label: why it cannot be used, in a sentence. */
export type Label =
  | { readonly kind: "part"; readonly code: string; readonly bearer: Bearer }
  | { readonly kind: "place"; readonly held: LabelTarget }
  | { readonly kind: "put away"; readonly code: string; readonly build: string }
  | { readonly kind: "no label"; readonly error: string };

/** What a square in view is. */
export function labelOf(text: string): Label {
  return known(() => labelTarget(text));
}

/** What a typed code is; one slip away from a known one, that is offered. */
export function labelTyped(text: string): Label {
  const label = known(() => ({ kind: "part", name: readCode(text) }));
  return label.kind === "no label" ? { ...label, error: `${label.error}${nearest(text)}` } : label;
}

function known(read: () => LabelTarget): Label {
  try {
    const held = read();
    return held.kind === "part" ? bearerOf(held.name) : { kind: "place", held };
  } catch (error) {
    if (error instanceof NotALabelCode) return { kind: "no label", error: error.message };
    throw error;
  }
}

function bearerOf(code: string): Label {
  const found = findCode(code);
  if (found) return { kind: "part", code, bearer: found };
  const away = summaries.value.find(({ labels }) => labels.includes(code));
  if (away) return { kind: "put away", code, build: away.name || away.title };
  const error = `${showCode(code)} is on no part that this phone knows. It is another shop's label, or this phone has not synced yet.`;
  return { kind: "no label", error };
}

/** Codes of this shop that are one slip away from what was typed. */
function nearest(text: string): string {
  const codes = summaries.value.flatMap(({ labels }) => labels);
  const found = similarCodes(text, codes).slice(0, 3);
  return found.length ? ` Did you mean ${found.map(showCode).join(" or ")}?` : "";
}

/** What to call a label in view. */
export function labelName(text: string): string {
  const label = labelOf(text);
  if (label.kind === "part") return fullTitle(label.bearer.view.sheet, label.bearer.id);
  if (label.kind === "put away") return `A part of ${label.build}`;
  return label.kind === "place" ? label.held.name : "No label of ours";
}

/** Why a label is no longer to be used; null for a good one. */
export function oldLabelAnswer({ view, id, old }: Bearer): ScanAnswer | null {
  if (!old) return null;
  const code = showCode(view.bench.parts[id]?.code ?? "");
  const name = fullTitle(view.sheet, id);
  return {
    good: false,
    sentence: `This is the label of a spoiled ${name}. The one that replaces it has ${code}. Take this label off.`,
  };
}
