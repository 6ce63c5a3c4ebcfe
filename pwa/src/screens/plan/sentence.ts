/** A day's plan in words: what a screen reader says of a block, and what stands in the list. */
import { clockTime, span, timeOfDay } from "../../moments.ts";
import type { PlannedTask } from "../../wire.gen.ts";
import { batchPath } from "../paths.ts";
import { counted, listed } from "../words/names.ts";
import { type Block, beginOf, type Day } from "./days.ts";

/** "08:00 to 08:20"; "08:00" where it takes no time. */
export function times(block: Block): string {
  if (block.step.end === block.step.setup_at && !block.more.length) return timeOfDay(beginOf(block));
  return `${timeOfDay(beginOf(block))} to ${timeOfDay(block.to)}`;
}

/** What the hands do: "Cut the legs", "Clamps off: Glue the frame"; without clamps "Glue set: Glue the keys". */
export function actOf({ act, title, unclamped }: PlannedTask): string {
  if (act === "squeeze-out") return `Squeeze-out: ${title}`;
  return act === "clamps-off" ? `${unclamped ? "Glue set" : "Clamps off"}: ${title}` : title;
}

/** The same, with its piece; with all pieces where more of them follow at once. */
export function whatIs(step: PlannedTask, more: Block["more"] = []): string {
  const pieces = piecesOf({ step, more });
  const whose = pieces.length > 1 ? listed(pieces) : pieces.map((piece) => `piece ${piece}`).join("");
  return [actOf(step), whose].filter(Boolean).join(", ");
}

/** The letters of its pieces, in the order of the work, each once; none where its build has one piece. */
export function piecesOf({ step, more }: Pick<Block, "step" | "more">): readonly string[] {
  return [...new Set([step, ...more].flatMap(({ piece }) => (piece ? [piece] : [])))];
}

/** Whose it is, where the plan has several builds: "Bedside and Stool"; "" where it has one. */
function buildsOf({ step, more }: Block, { names }: Day): string {
  return names.size > 1 ? listed([...new Set([step, ...more].flatMap(({ build }) => names.get(build) ?? []))]) : "";
}

/** Where a tap on it leads. */
export function pathTo({ step, more }: Block): string {
  return batchPath([step, ...more]);
}

/** What else there is to know about it, in short sentences. */
export function details(block: Block, day: Day): readonly string[] {
  const { step, setting, goesOn } = block;
  const at = step.station && `At the ${step.station}`;
  const set = setting ? `${at || "First"}, ${span(setting.to - setting.from)} to set it up` : at;
  return [
    buildsOf(block, day),
    step.hand ?? "",
    set,
    goesOn ? "Goes on another day" : "",
    step.free > step.end ? `Runs by itself until ${clockTime(step.free, day.from)}` : "",
    step.act === "work" && clampsOf(step) ? `Takes ${clampsOf(step)}` : "",
    step.act === "work" && step.fixtures ? fixturesOf(step.fixtures) : "",
  ].filter(Boolean);
}

/** What stands in the list under what it is: the same, and why then if there is a reason; "" for neither. */
export function underneath(block: Block, day: Day): string {
  return [...details(block, day), block.step.reason].filter(Boolean).join(". ");
}

/** "4 parallel jaw and 2 pipe clamps". */
function clampsOf({ clamps }: PlannedTask): string {
  const kinds = Object.entries(clamps);
  const many = kinds.reduce((sum, [, count]) => sum + count, 0);
  return many ? `${listed(kinds.map(([kind, count]) => `${count} ${kind}`))} ${many === 1 ? "clamp" : "clamps"}` : "";
}

/** "In Form for the bows and 2 × Caul"; "" without any. */
function fixturesOf(fixtures: Readonly<Record<string, number>>): string {
  const titles = Object.entries(fixtures).map(([title, count]) => (count === 1 ? title : `${count} × ${title}`));
  return titles.length ? `In ${listed(titles)}` : "";
}

/** What is out as the day begins: "4 parallel jaw clamps still on until 09:10". */
export function outFromBefore(day: Day): readonly string[] {
  return [...day.clamps].flatMap(([kind, [first]]) => {
    if (!first || first.taken || first.from > day.from) return [];
    const until = first.to < day.to ? ` until ${timeOfDay(first.to)}` : "";
    return [`${counted(first.count, `${kind} clamp`)} still on${until}`];
  });
}

/** What stays on into the night: "4 parallel jaw clamps stay on overnight". */
export function outOvernight(day: Day): readonly string[] {
  return [...day.clamps].flatMap(([kind, held]) => {
    const last = held.at(-1);
    if (!last || last.given || last.to < day.to) return [];
    return [`${counted(last.count, `${kind} clamp`)} ${last.count === 1 ? "stays" : "stay"} on overnight`];
  });
}
