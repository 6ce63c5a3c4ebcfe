/** What a person does that ends a clock. */
import type { ClockKind } from "../bench/clocks.ts";

export type Ending = "clamped" | "pared" | "clamps-off" | "wiped-off" | "rags-safe";

/** By kind of clock: the word on the button, and what it records; null where hearing the ring is enough. */
export const ENDS: Readonly<Record<ClockKind, readonly [string, Ending] | null>> = {
  open: ["Clamped", "clamped"],
  "squeeze-out": ["Pared", "pared"],
  "in-clamps": ["Clamps off", "clamps-off"],
  rest: null,
  pot: null,
  "wipe-off": ["Wiped off", "wiped-off"],
  recoat: null,
  cure: null,
  rags: ["Rags are safe", "rags-safe"],
};

/** Stages that tell a wait is over, so that it may still be made longer; rags may not wait. */
const WAIT_IS_OVER = new Set(["pare", "off", "rested", "recoat", "cured", "too-cold"]);

/** What ends the clock of a ring; null also where it was too cold, and its time proves nothing. */
export function endOf(kind: ClockKind, stage: string): readonly [string, Ending] | null {
  return stage === "too-cold" ? null : ENDS[kind];
}

/** Whether what rings may be left longer instead. */
export function mayWait(stage: string): boolean {
  return WAIT_IS_OVER.has(stage);
}
