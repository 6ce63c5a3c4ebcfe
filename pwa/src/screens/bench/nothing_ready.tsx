import type { Choice } from "../../bench/choice.ts";
import { wordsOf } from "../../bench/clock_kinds.ts";
import type { Advice } from "../../bench/next.ts";
import { builds, now, running } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import { fullTitle, operationOf } from "../words/names.ts";

type NothingProps = { readonly advice: Advice; readonly waiting: readonly Choice[]; readonly isOpen: boolean };

/** Why there is nothing for the hands now. waiting: what is ready but for a fixture. isOpen: whether any build is. */
export function NothingReady({ advice: { again, clamps }, waiting: [first], isOpen }: NothingProps) {
  if (!isOpen) return <p>Nothing is left: every build is finished.</p>;
  if (again.length) return <p>Nothing else can be done before that is made again.</p>;
  if (first) return <p>Nothing is ready: {first.reason}</p>;
  const clock = soonestWait();
  if (clamps.length && !clock) return <p>Nothing is ready before clamps come off.</p>;
  return <p>{clock ?? "Nothing is ready: what is left waits for work that others have in hand."}</p>;
}

/** "Nothing is ready before 18:16, when the clamps come off “Glue the carcase”." null where no wait runs. */
function soonestWait(): string | null {
  const clock = running.value.find(({ least, too_cold }) => least !== null && least > now.value && !too_cold);
  const sheet = builds.value.find(({ id }) => id === clock?.build)?.sheet;
  if (!clock || !sheet || clock.least === null) return null;
  const { until } = wordsOf(clock.kind, operationOf(sheet, clock.operation));
  return `Nothing is ready before ${clockTime(clock.least, now.value)}: “${fullTitle(sheet, clock.operation)}”, until ${until}.`;
}
