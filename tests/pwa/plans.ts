/** A made-up plan of two days, written by hand. */
import type { PlannedTask, PresentedPlan } from "../../pwa/src/wire.gen.ts";

/** A moment in March 2026, the phone's own time: the 5th is a Thursday. */
export const at = (day: number, hour: number, minute = 0) => new Date(2026, 2, day, hour, minute).getTime();

export const step = (operation: string, from: number, to: number, more: Partial<PlannedTask> = {}): PlannedTask => ({
  build: "b",
  operation,
  act: "work",
  piece: "",
  title: operation,
  station: "",
  setup: "",
  changes: false,
  setup_at: from,
  start: from,
  end: to,
  free: to,
  clamps: {},
  slack_ms: 0,
  reason: "Comes next.",
  ...more,
});

export const presented = (steps: readonly PlannedTask[], more: Partial<PresentedPlan> = {}): PresentedPlan => ({
  made_at: at(5, 9),
  start: at(5, 9),
  hours: [
    [at(5, 9), at(5, 12)],
    [at(5, 13), at(5, 17)],
    [at(6, 8), at(6, 17)],
    [at(9, 8), at(9, 17)],
  ],
  steps,
  evening: [],
  forecasts: [],
  unplanned: [],
  finish: Math.max(...steps.map(({ free }) => free)),
  changes: 0,
  bound: 0,
  ...more,
});
