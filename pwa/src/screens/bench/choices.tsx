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

/**
 * More operations, a line for each batch; the first few until asked for all. why: what holds for all, said once, as is a
 * reason that all of them have.
 */
export function Choices({ title, batches, why: given = "" }: ChoicesProps) {
  const all = useSignal(false);
  if (batches.length === 0) return null;
  const shared = given ? "" : sharedReason(batches);
  const why = given || shared;
  const shown = all.value ? batches : batches.slice(0, FEW);
  return (
    <section class="block">
      <h2>{title}</h2>
      {why && <p class="hint">{why}</p>}
      <ul class="rows">
        {shown.map((batch) => (
          <li key={`${batch[0].build} ${batch[0].operation}`} class="row">
            <BatchRow batch={batch} reason={shared ? "" : batch[0].reason} />
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

/** The reason of several batches when it is one and the same; "" otherwise. */
function sharedReason(batches: readonly Batch[]): string {
  const [reason = "", ...others] = new Set(batches.map(([{ reason }]) => reason));
  return batches.length > 1 && others.length === 0 ? reason : "";
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

type RowProps = BatchProps & { readonly icon?: IconName; readonly reason?: string };

/** Operations of a batch in a line. reason: of the first, unless given. icon: in place of the one for how far it is. */
export function BatchRow({ batch, icon, reason = batch[0].reason }: RowProps) {
  const works = worksOf(batch, builds.value);
  const [first] = works;
  if (!first) return null;
  return (
    <Link to={batchPath(batch)} class="row-words" icon={icon ?? statusWords(statusOf(first), first.operation)[1]}>
      <span>
        <span class="marked">
          <Marks works={works} named={builds.value.length > 1} /> {first.operation.title}
        </span>
        {reason && <small>{reason}</small>}
      </span>
    </Link>
  );
}
