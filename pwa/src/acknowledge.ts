/** What a person answers to a ring, from its card or from its notice. */
import { endOf } from "./bench/clock_kinds.ts";
import { builds, type RingingNow, record } from "./live.ts";
import { concerns } from "./screens/operation/steps.ts";
import { operationOf } from "./screens/words/names.ts";

/** Heard: silent everywhere. */
export function acknowledge({ build, operation, name }: RingingNow): Promise<void> {
  return record(build, { kind: "acknowledged", operation, ring: name }, [operation]);
}

/** What the clock waited for is done. */
export async function end({ build, operation, kind, stage }: RingingNow): Promise<void> {
  const view = builds.value.find(({ id }) => id === build);
  const known = view && operationOf(view.sheet, operation);
  const ends = endOf(kind, stage);
  if (known && ends) await record(build, { kind: ends, operation }, concerns(known));
}
