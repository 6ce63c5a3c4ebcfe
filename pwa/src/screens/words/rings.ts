/** What each ring asks for, in the words of alerts/words.toml, which a push and a calendar say too. */
import type { ClockKind } from "../../bench/clocks.ts";

/** By kind and stage: a title, and what to do. None says that a joint or a coat is safe. */
const RINGS: Readonly<Record<string, readonly [string, string]>> = {
  "open|half": ["Half the open time is gone", "Spread only what you can still close."],
  "open|two-minutes": ["Two minutes of open time left", "Stop spreading. Close the joints and reach for the clamps."],
  "open|last": ["Thirty seconds of open time left", "Clamp now."],
  "open|over": [
    "Open time is over",
    "Clamp at once if the glue is still wet and tacky. Where it has skinned, take the joint apart, scrape it and begin again.",
  ],
  "squeeze-out|pare": [
    "Pare the squeeze-out",
    "It should be rubbery now: lift it off with a chisel held flat. Leave the clamps on.",
  ],
  "in-clamps|off": [
    "Clamps may come off",
    "The usual time in clamps has passed. Look at the squeeze-out, ease the clamps off evenly, and leave the joint unstressed until its rest is over.",
  ],
  "in-clamps|too-cold": [
    "Too cold: leave the clamps on",
    "It was colder than this glue can stand, so its time proves nothing. Warm the shop and lengthen the clock.",
  ],
  "rest|rested": ["Rested", "The usual rest has passed: the next operation may begin."],
  "rest|too-cold": [
    "Too cold: let it rest on",
    "It was colder than this glue can stand, so its time proves nothing. Warm the shop and lengthen the clock.",
  ],
  "pot|two-minutes": [
    "Two minutes of pot life left",
    "Use what is mixed, or leave it: do not begin a new stretch with it.",
  ],
  "pot|over": ["Pot life is over", "Stop using this mix. Leave it where heat does no harm until it is hard."],
  "wipe-off|wipe": [
    "Wipe off the surplus",
    "Wipe until the cloth comes away nearly dry. Then lay the rags out of harm's way.",
  ],
  "wipe-off|over": [
    "Wipe off at once",
    "The surplus gets sticky. Wipe now; where it drags already, wet it with fresh finish first.",
  ],
  "recoat|recoat": [
    "The next coat may go on",
    "The usual wait has passed. See that the coat is dry, then rub it down as its label asks.",
  ],
  "recoat|closing": ["One hour left for the next coat", "After that the coat must be rubbed down first."],
  "recoat|over": ["The time for the next coat has passed", "Rub the coat down before the next one, as its label asks."],
  "cure|cured": ["Cured", "The usual time to full hardness has passed: it may be used."],
  "rags|rags": [
    "See to the oily rags",
    "Put them where they cannot catch fire, then say so here. This rings again and again until you do.",
  ],
  "rags|again": ["The oily rags still wait", "Put them where they cannot catch fire, then say so here."],
};

/** What rings, for a glance. */
export function ringWords(kind: ClockKind, stage: string): string {
  return rowOf(kind, stage)[0];
}

/** What to do about it. */
export function ringTask(kind: ClockKind, stage: string): string {
  return rowOf(kind, stage)[1];
}

/** Every further reminder of a stage, "again-1" and so on, says the same. */
function rowOf(kind: ClockKind, stage: string): readonly [string, string] {
  return RINGS[`${kind}|${stage.replace(/-\d+$/, "")}`] ?? [stage, ""];
}
