/** The clock that a tap on a notice wants left longer; its operation's screen asks how long, and why. */
import { type Signal, signal } from "@preact/signals";
import type { RunningClock } from "../../alerts/schedule.ts";

export const wanted: Signal<Pick<RunningClock, "build" | "operation" | "kind"> | null> = signal(null);
