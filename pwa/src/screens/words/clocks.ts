/** What each running clock means to the person at the bench. */
import type { ClockKind } from "../../bench/clocks.ts";
import type { IconName } from "../../controls/icon.tsx";

type ClockWords = {
  readonly name: string;
  readonly icon: IconName;
  /** While it runs, when something may be done, and when that is overdue. */
  readonly running: string;
  readonly due: string;
  readonly late: string;
};

export const CLOCKS: Readonly<Record<ClockKind, ClockWords>> = {
  open: {
    name: "Open time",
    icon: "glue",
    running: "Everything together and in clamps before this runs out.",
    due: "Everything together and in clamps now.",
    late: "Open time is over. Glue that has skinned over holds badly: look before you clamp.",
  },
  "squeeze-out": {
    name: "Squeeze-out",
    icon: "glue",
    running: "Leave the beads until they are rubbery.",
    due: "Pare the squeeze-out off now.",
    late: "Pare the squeeze-out off now.",
  },
  "in-clamps": {
    name: "In clamps",
    icon: "clamp",
    running: "Leave the clamps on.",
    due: "The time in clamps has passed: they may come off.",
    late: "The time in clamps has passed: they may come off.",
  },
  rest: {
    name: "Rest",
    icon: "waiting",
    running: "Leave it alone: no machining, no load.",
    due: "The rest is over: work may go on.",
    late: "The rest is over: work may go on.",
  },
  pot: {
    name: "Pot life",
    icon: "glue",
    running: "Use the mix up before this runs out.",
    due: "Use the mix up now.",
    late: "Pot life is over: do not use what is left of the mix.",
  },
  "wipe-off": {
    name: "Wipe off",
    icon: "coat",
    running: "Let it soak in.",
    due: "Wipe the surplus off now.",
    late: "Wiping off is overdue: do it before it gets tacky.",
  },
  recoat: {
    name: "Next coat",
    icon: "coat",
    running: "Too soon for the next coat.",
    due: "The next coat may go on.",
    late: "The time for the next coat has passed: read the finish's label before you go on.",
  },
  cure: {
    name: "Cure",
    icon: "waiting",
    running: "Leave it to cure.",
    due: "The cure is over.",
    late: "The cure is over.",
  },
  rags: {
    name: "Oily rags",
    icon: "warn",
    running:
      "Oily rags can catch fire by themselves. Into a closed metal can with water, or flat and single outdoors; the label first.",
    due: "See to the oily rags now: into a closed metal can with water, or flat and single outdoors; the label first.",
    late: "See to the oily rags now: into a closed metal can with water, or flat and single outdoors; the label first.",
  },
};

export { ringWords } from "./rings.ts";

export const TOO_COLD = "Colder than its least temperature since it went on: the time that has passed proves nothing.";
