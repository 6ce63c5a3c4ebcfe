/** What is for the hands, with the same operation of several pieces or builds put together. */
import { computed, type ReadonlySignal } from "@preact/signals";
import { type BatchedAdvice, inBatches, plannedApart } from "../bench/batches.ts";
import { isOpen } from "../bench/loaded_builds.ts";
import { isSameDay } from "../moments.ts";
import { standingPlan } from "./own_plan.ts";
import { advice, builds } from "./state.ts";

/** The advice of `advice`, in batches. */
export const batched: ReadonlySignal<BatchedAdvice> = computed(() => {
  const open = builds.value.filter(({ bench }) => isOpen(bench));
  return inBatches(advice.value, open, plannedApart(standingPlan.value?.steps ?? [], isSameDay));
});
