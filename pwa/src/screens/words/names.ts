/** What things are called on the screen. */
import type { BuildView } from "../../bench/loaded_builds.ts";
import { FINISHES, GLUES } from "../../tables.gen.ts";
import type { Assembly, Operation, Part, Setup, Sheet } from "../../wire.gen.ts";

/** A part or an assembly by its id; undefined where the sheet has none. */
export function partOf(sheet: Sheet, id: string): Part | Assembly | undefined {
  return sheet.parts.find((part) => part.id === id) ?? sheet.assemblies.find((assembly) => assembly.id === id);
}

/** An operation by its id; undefined where the sheet has none. */
export function operationOf(sheet: Sheet, id: string): Operation | undefined {
  return sheet.operations.find((operation) => operation.id === id);
}

/** A setup by its id; undefined where the sheet has none. */
export function setupOf(sheet: Sheet, id: string): Setup | undefined {
  return sheet.setups.find((setup) => setup.id === id);
}

/** The title of a part, an assembly, an operation or a setup; the id itself where nothing has it. */
export function titleOf(sheet: Sheet, id: string): string {
  return partOf(sheet, id)?.title ?? operationOf(sheet, id)?.title ?? setupOf(sheet, id)?.title ?? id;
}

/** The same, with its piece where the build has several. */
export function fullTitle(sheet: Sheet, id: string): string {
  const piece = partOf(sheet, id)?.piece ?? operationOf(sheet, id)?.piece ?? "";
  return piece && sheet.pieces.length > 1 ? `${titleOf(sheet, id)}, piece ${piece}` : titleOf(sheet, id);
}

/** A glue or a finish: "PVA (plain white or yellow)"; where the trade's tables lack it, its name in words. */
export function stuffName(name: string): string {
  const [what = "", ...which] = (GLUES[name] ?? FINISHES[name] ?? begun(name.replace(/[-_]/g, " "))).split(", ");
  return which.length ? `${what} (${which.join(", ")})` : what;
}

/** How a list reads: "leg 1, leg 2 and rail". */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** "1 part", "3 parts". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** A word with a capital to begin a line. */
export function begun(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The assemblies a part is glued into by now, innermost first. */
export function around(view: BuildView, id: string): string[] {
  const inside = view.bench.parts[id]?.inside;
  return inside ? [inside, ...around(view, inside)] : [];
}
