import "./operation.css";
import "./batch.css";
import type { Member } from "../bench/alike.ts";
import { batchMinutes } from "../bench/batches.ts";
import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { builds, running } from "../live/state.ts";
import { show, TIME } from "../recipe/measure.ts";
import { BatchAction } from "./batch/action.tsx";
import { alikeIn, keyOf } from "./batch/members.ts";
import { BatchParts } from "./batch/parts.tsx";
import { BatchTools } from "./batch/tools.tsx";
import { Clocks } from "./bench/clocks.tsx";
import { Missing } from "./missing.tsx";
import { OpenedBuilds } from "./opened_build.tsx";
import { AirReading } from "./operation/air_reading.tsx";
import { Cautions } from "./operation/cautions.tsx";
import { Checks } from "./operation/checks.tsx";
import { Instructions } from "./operation/instructions.tsx";
import { SetupBlock } from "./operation/setup.tsx";
import { Sharpen } from "./operation/sharpen.tsx";
import { Sizes } from "./operation/sizes.tsx";
import { Timing } from "./operation/timing.tsx";
import { ToSizes } from "./operation/to_size.tsx";
import { membersIn, operationPath } from "./paths.ts";
import { statusWords } from "./words/status.ts";
import { statusOf, type Work, whose, worksOf } from "./words/whose.ts";

/** The same operation of several pieces or builds in the hand, as one stretch of work. members: as an address has them. */
export function BatchScreen({ members: text }: { readonly members: string }) {
  const members = membersIn(text);
  const ids = [...new Set(members.map(({ build }) => build))];
  return (
    <OpenedBuilds ids={ids}>
      {(views) => {
        const works = worksOf(members, views);
        const [first] = works;
        return first ? (
          <Together works={works} first={first} members={members} />
        ) : (
          <Missing what="No operation is at this address." />
        );
      }}
    </OpenedBuilds>
  );
}

type TogetherProps = { readonly works: readonly Work[]; readonly first: Work; readonly members: readonly Member[] };

function Together({ works, first, members }: TogetherProps) {
  const { view, operation } = first;
  const own = running.value.filter((clock) =>
    works.some((one) => one.view.id === clock.build && one.operation.id === clock.operation),
  );
  const alike = alikeIn(works);
  const minutes = batchMinutes(members, builds.value);
  return (
    <>
      <Top title={operation.title} back="/" over={`${whose(works)} · ${operation.station}`} />
      <p class="status-line">
        <StatusOfAll works={works} />
        {minutes > 0 && <span class="soft">about {show(minutes, TIME, "mm")} of your time</span>}
      </p>
      <OneAlone works={works} />
      <Clocks clocks={own} />
      {alike.map((group) => (
        <SetupOf key={group.map(keyOf).join()} group={group} among={works} />
      ))}
      <Instructions view={view} operation={operation} />
      <Cautions
        operation={operation}
        sheet={view.sheet}
        open={works.every((one) => ["ready", "waiting"].includes(statusOf(one)))}
      />
      {operation.finish && <AirReading />}
      {(operation.measure?.length ? works.map((one) => [one]) : alike).map((group) => (
        <SizesOf key={group.map(keyOf).join()} group={group} among={works} />
      ))}
      {works.some((one) => one.operation.parts.length > 0) && <BatchParts works={works} />}
      {works.map((one) => (
        <Checks key={keyOf(one)} {...one} of={whose([one], works)} />
      ))}
      <Sharpen operation={operation} />
      <Timing operation={operation} />
      <BatchTools works={works} />
      <BatchAction works={works} />
    </>
  );
}

/** How far they are: in one word where all are as far, else each. */
function StatusOfAll({ works }: { readonly works: readonly Work[] }) {
  const words = works.map((one) => statusWords(statusOf(one), one.operation));
  const [[word, icon] = ["", "ready"] as const] = words;
  const isSame = words.every(([other]) => other === word);
  return (
    <>
      <Icon name={icon} />
      <strong>{isSame ? word : works.map((one, n) => `${whose([one], works)}: ${words[n]?.[0]}`).join(", ")}</strong>
    </>
  );
}

/** The way out of the batch: one piece by itself. */
function OneAlone({ works }: { readonly works: readonly Work[] }) {
  return (
    <nav class="alone" aria-label="One alone">
      <span class="soft">Only</span>
      {works.map((one) => (
        <Link key={keyOf(one)} to={operationPath(one.view.id, one.operation.id)} class="chip">
          <span class="unseen">Only </span>
          {whose([one], works)}
        </Link>
      ))}
    </nav>
  );
}

/** group: those that are set or made alike. among: the whole batch; where not all are alike, whose these are is said. */
type GroupProps = { readonly group: readonly Work[]; readonly among: readonly Work[] };

function SetupOf({ group, among }: GroupProps) {
  const [first] = group;
  if (!first?.operation.setup) return null;
  return (
    <>
      {group.length < among.length && <p class="over">For {whose(group, among)}</p>}
      <SetupBlock {...first} alike={group} />
    </>
  );
}

function SizesOf({ group, among }: GroupProps) {
  const [first] = group;
  if (!first) return null;
  const of = group.length < among.length ? whose(group, among) : "";
  return (
    <>
      <ToSizes {...first} of={of} />
      <Sizes {...first} of={of} />
    </>
  );
}
