import { useSignal } from "@preact/signals";
import { type Batch, batchMinutes } from "../../bench/batches.ts";
import type { Choice } from "../../bench/choice.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon, type IconName } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import { show, TIME } from "../../recipe/measure.ts";
import { batchPath } from "../paths.ts";
import { Marks } from "../words/build_mark.tsx";
import { counted } from "../words/names.ts";
import { statusWords } from "../words/status.ts";
import { areOfOne, partsIn, statusOf, type Work, worksOf } from "../words/whose.ts";

type BatchProps = { readonly batch: Batch };

/** The one operation for the hands, or batch of them, with its reason, one tap away. */
export function FirstChoice({ batch }: BatchProps) {
  const works = worksOf(batch, builds.value);
  const [first] = works;
  if (!first) return null;
  const { view, operation } = first;
  const [word, icon] = statusWords(statusOf(first), operation);
  const isOfOne = areOfOne(works);
  return (
    <Link to={batchPath(batch)} class="first-choice">
      <span class="over">
        {operation.station}
        {builds.value.length > 1 && isOfOne && ` · ${view.name}`}
      </span>
      <strong>
        <Marks works={works} named={!isOfOne} /> {operation.title}
      </strong>
      {batch[0].reason && <span>{batch[0].reason}</span>}
      <span class="state">
        <Icon name={icon} />
        {word}
        {works.length > 1 && ` · ${inAll(batch, works)}`}
        <Icon name="onward" />
      </span>
    </Link>
  );
}

/** What is to be done of a batch: "8 parts, about 16 min". */
function inAll(batch: Batch, works: readonly Work[]): string {
  const minutes = batchMinutes(batch, builds.value);
  const parts = partsIn(works);
  return [
    ...(parts ? [counted(parts, "part")] : []),
    ...(minutes > 0 ? [`about ${show(minutes, TIME, "mm")}`] : []),
  ].join(", ");
}

const FEW = 4;

type ChoicesProps = { readonly title: string; readonly batches: readonly Batch[]; readonly why?: string };

/** More operations, a line for each batch; the first few until asked for all. why: what holds for all, said once. */
export function Choices({ title, batches, why }: ChoicesProps) {
  const all = useSignal(false);
  if (batches.length === 0) return null;
  const shown = all.value ? batches : batches.slice(0, FEW);
  return (
    <section class="block">
      <h2>{title}</h2>
      {why && <p class="hint">{why}</p>}
      <ul class="rows">
        {shown.map((batch) => (
          <li key={`${batch[0].build} ${batch[0].operation}`} class="row">
            <BatchRow batch={batch} />
          </li>
        ))}
      </ul>
      {shown.length < batches.length && (
        <Button
          onTap={() => {
            all.value = true;
          }}
        >
          {batches.length - shown.length} more
        </Button>
      )}
    </section>
  );
}

/** What is ready but for a fixture: a list for each, and what stands in it. */
export function WaitingForFixtures({ waiting }: { readonly waiting: readonly Choice[] }) {
  const reasons = [...new Set(waiting.map(({ reason }) => reason))];
  return (
    <>
      {reasons.map((why) => (
        <Choices
          key={why}
          title="Waiting for a fixture"
          why={why}
          batches={waiting.filter(({ reason }) => reason === why).map((one) => [{ ...one, reason: "" }] as const)}
        />
      ))}
    </>
  );
}

/** Operations of a batch in a line, with the reason of the first. icon: in place of the one for how far it is. */
export function BatchRow({ batch, icon }: BatchProps & { readonly icon?: IconName }) {
  const works = worksOf(batch, builds.value);
  const [first] = works;
  if (!first) return null;
  return (
    <Link to={batchPath(batch)} class="row-words" icon={icon ?? statusWords(statusOf(first), first.operation)[1]}>
      <span>
        <span class="marked">
          <Marks works={works} named={builds.value.length > 1} /> {first.operation.title}
        </span>
        {batch[0].reason && <small>{batch[0].reason}</small>}
      </span>
    </Link>
  );
}
