/** Whether two parts meet, and how: what the recipe says, for the parts in hand. */
import type { Assembly, Mate, Part, Sheet } from "../wire.gen.ts";

/** One joint: `end` of part `part` meets `at` of part or assembly `to`. */
export type Joint = Mate & { readonly part: string };

/** swapped: how they would meet if both were of one piece. joints: those that either has, to say what it meets instead. */
export type Meeting =
  | { readonly kind: "same" }
  | { readonly kind: "inside"; readonly whole: string }
  | { readonly kind: "meet"; readonly joints: readonly Joint[] }
  | { readonly kind: "other piece"; readonly joints: readonly Joint[] }
  | { readonly kind: "apart"; readonly joints: readonly Joint[] }
  | { readonly kind: "not in the recipe" };

/** What the recipe says of these two. */
export function meetingOf(sheet: Sheet, one: string, other: string): Meeting {
  if (one === other) return { kind: "same" };
  const around = wholes(sheet, one);
  if (around.includes(other)) return { kind: "inside", whole: other };
  if (wholes(sheet, other).includes(one)) return { kind: "inside", whole: one };
  const joints = jointsBetween(sheet, one, other);
  if (joints.length) return { kind: "meet", joints };
  const swapped = inPieceOf(sheet, one, other);
  const would = swapped ? jointsBetween(sheet, one, swapped) : [];
  if (would.length) return { kind: "other piece", joints: would };
  const others = jointsOf(sheet).filter(({ part }) => part === one || part === other);
  return others.length ? { kind: "apart", joints: others } : { kind: "not in the recipe" };
}

/** Every joint of the build. */
function jointsOf(sheet: Sheet): readonly Joint[] {
  return sheet.parts.flatMap((part) => (part.mates ?? []).map((mate) => ({ ...mate, part: part.id })));
}

/** Joints with one thing, or what it is in or holds, on each side; seen from the first one's side where both are. */
function jointsBetween(sheet: Sheet, one: string, other: string): readonly Joint[] {
  const [own, others] = [reach(sheet, one), reach(sheet, other)];
  const all = jointsOf(sheet);
  const joints = all.filter(({ part, to }) => own.has(part) && others.has(to));
  return joints.length ? joints : all.filter(({ part, to }) => others.has(part) && own.has(to));
}

/** A part with the assemblies it goes into, or an assembly with all it holds too. */
function reach(sheet: Sheet, id: string): ReadonlySet<string> {
  return new Set([id, ...wholes(sheet, id), ...held(sheet, id)]);
}

/** The assemblies a thing goes into, innermost first. */
function wholes(sheet: Sheet, id: string): readonly string[] {
  const whole = sheet.assemblies.find(({ of }) => of.includes(id));
  return whole ? [whole.id, ...wholes(sheet, whole.id)] : [];
}

/** All that is joined in an assembly, at any depth; nothing for a part. */
function held(sheet: Sheet, id: string): readonly string[] {
  const of = sheet.assemblies.find((assembly) => assembly.id === id)?.of ?? [];
  return of.flatMap((inner) => [inner, ...held(sheet, inner)]);
}

/** The same thing as `other`, of the piece that `one` belongs to; null when it is of that piece already. */
function inPieceOf(sheet: Sheet, one: string, other: string): string | null {
  const [a, b] = [thing(sheet, one), thing(sheet, other)];
  if (!a?.piece || !b?.piece || a.piece === b.piece) return null;
  return `${a.piece}${other.slice(b.piece.length)}`;
}

function thing(sheet: Sheet, id: string): Part | Assembly | undefined {
  return sheet.parts.find((part) => part.id === id) ?? sheet.assemblies.find((assembly) => assembly.id === id);
}
