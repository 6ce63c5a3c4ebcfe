/** What happened on one operation. */
import type { BuildView } from "../../bench/loaded_builds.ts";
import type { Happening, Operation } from "../../wire.gen.ts";
import { storyOf } from "../words/happenings.ts";

/** What was recorded on this operation and still counts, so that it can be undone, earliest first. */
export function storyOfOperation(view: BuildView, operation: Operation): readonly Happening[] {
  return storyOf(view).filter(({ what, about }) =>
    what && "operation" in what ? what.operation === operation.id : about[0] === operation.id,
  );
}
