import type { ClampCount } from "../../bench/clamps.ts";
import type { Blocked } from "../../bench/next.ts";
import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import { slug } from "../../recipe/label_code.ts";
import { rackPath } from "../paths.ts";
import { clampsOf, enoughSentence, outSentence } from "../words/clamps.ts";
import { BatchRow } from "./choices.tsx";

type ClampsProps = { readonly counts: readonly ClampCount[]; readonly blocked: readonly Blocked[] };

/** Of each kind that is scarce how many are out, and what cannot begin for want of them. */
export function ScarceClamps({ counts, blocked }: ClampsProps) {
  return (
    <>
      {counts.map((count) => (
        <section key={count.kind} class="block">
          <h2>{waitingFor(count, blocked).length ? "Waiting for clamps" : "Clamps"}</h2>
          <ul class="rows">
            <li class="row">
              <Link to={rackPath(count.kind)} class="row-words" icon="clamp">
                <span>
                  {clampsOf(count.kind)}
                  <small>{outSentence(count, now.value)}</small>
                </span>
                <Icon name="onward" />
              </Link>
            </li>
            {waitingFor(count, blocked).map((choice) => (
              <li key={`${choice.build} ${choice.operation}`} class="row">
                <BatchRow batch={[choice]} icon="waiting" />
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}

/** What waits for this kind, with how many it takes and when there are enough. */
function waitingFor({ kind }: ClampCount, blocked: readonly Blocked[]) {
  return blocked.flatMap(({ build, operation, by }) =>
    "short" in by && slug(by.short.kind) === slug(kind)
      ? [{ build, operation, reason: `Takes ${by.short.wanted}. ${enoughSentence(by.short, now.value)}` }]
      : [],
  );
}
