import { clampCount, clampsOut } from "../bench/clamps.ts";
import type { BuildView } from "../bench/loaded_builds.ts";
import { countsIn } from "../bench/shop.ts";
import { setupSetting, standingSetups, standsNow, usersOf } from "../bench/standing.ts";
import { Top } from "../controls/top.tsx";
import { builds, now, running, shop } from "../live/state.ts";
import { clockTime } from "../moments.ts";
import { slug } from "../recipe/label_code.ts";
import type { Setup } from "../wire.gen.ts";
import { StandingSetups } from "./bench/standing_setups.tsx";
import { Missing } from "./missing.tsx";
import { doneIn, Story } from "./part/history.tsx";
import { FixtureBlocks, usesOf } from "./place/fixture.tsx";
import { isLeft, Queue, work } from "./place/queue.tsx";
import { clampsOf, outSentence } from "./words/clamps.ts";
import { begun, counted } from "./words/names.ts";
import type { Work } from "./words/whose.ts";

/** What stands behind a label: the name on it as an address has it, and what kind of place it is. */
type PlaceProps = { readonly name: string; readonly title: string };

/** A station: the setup it stands in, and what is to be done there. */
export function StationScreen({ name, title }: PlaceProps) {
  const wanted = slug(name);
  const queue = work(({ station }) => slug(station) === wanted);
  const station = queue[0]?.operation.station;
  if (!station) return <Missing what={`No build on this phone works at a station ${wanted}.`} />;
  const standing = standingSetups(builds.value).filter((setup) => setup.station === station);
  return (
    <>
      <Top title={begun(station)} over={title} back="/scan" />
      {standing.length > 0 ? <StandingSetups setups={standing} /> : <p class="soft">It stands in no known setup.</p>}
      <Queue title="To do here" works={queue.filter(isLeft)} none="Nothing is left to do here." />
    </>
  );
}

/** A setup: whether it stands, and which operations need it. */
export function SetupScreen({ name, title }: PlaceProps) {
  const wanted = slug(name);
  const found = builds.value.flatMap((view) => {
    const setup = view.sheet.setups.find(({ id }) => slug(id) === wanted);
    return setup ? [{ view, setup }] : [];
  });
  const [first] = found;
  if (!first) return <Missing what={`No build on this phone has a setup ${wanted}.`} />;
  const works = usersOf(builds.value, setupSetting(first.view.sheet, first.setup.id)).flatMap(([operation, { id }]) => {
    const view = builds.value.find((build) => build.id === id);
    return view ? [{ view, operation }] : [];
  });
  return (
    <>
      <Top title={first.setup.title} over={`${title} · ${first.setup.station}`} back="/scan" />
      <p>{whetherItStands(first.view, first.setup)}</p>
      <Queue title="Needs it still" works={works.filter(isLeft)} none="Nothing needs it any more." />
    </>
  );
}

function whetherItStands(view: BuildView, setup: Setup): string {
  const standing = view.bench.stations[setup.station];
  const isSet = standsNow(builds.value).get(setup.station)?.setting === setupSetting(view.sheet, setup.id);
  if (!isSet || standing?.setup !== setup.id) return `The ${setup.station} is not set to it now.`;
  const proved = standing.proved ? "proved on scrap" : "not proved yet";
  return `The ${setup.station} has stood in it since ${clockTime(standing.ms, now.value)}, ${proved}.`;
}

/** A clamp rack: where its clamps are, and which operations will want them. */
export function RackScreen({ name, title }: PlaceProps) {
  const wanted = slug(name);
  const users = work(({ clamps = {} }) => Object.keys(clamps).some((kind) => slug(kind) === wanted));
  const kind = Object.keys(users[0]?.operation.clamps ?? {}).find((one) => slug(one) === wanted);
  if (!kind) return <Missing what={`No build on this phone uses clamps ${wanted}.`} />;
  const count = ({ operation }: Work) => counted(operation.clamps?.[kind] ?? 0, "clamp");
  const held = clampsOut(builds.value, running.value).filter((one) => slug(one.kind) === wanted);
  const out = users.filter(({ view, operation }) =>
    held.some(({ build, op }) => build.id === view.id && op.id === operation.id),
  );
  const all = clampCount(kind, held, countsIn(shop.value, "clamps"));
  return (
    <>
      <Top title={clampsOf(kind)} over={title} back="/scan" />
      {all && <p>{outSentence(all, now.value)}.</p>}
      <Queue title="Out now" works={out} none="None are out." more={(one) => `${count(one)}${untilWhen(one)}`} />
      <Queue
        title="Wanted later"
        works={users.filter((one) => isLeft(one) && !out.includes(one))}
        none="Nothing more wants them."
        more={count}
      />
    </>
  );
}

function untilWhen({ view, operation }: Work): string {
  const clock = running.value.find(
    ({ build, operation: of, kind }) => build === view.id && of === operation.id && kind === "in-clamps",
  );
  if (clock?.too_cold) return ", too cold so far to set";
  return clock?.least ? `, off at ${clockTime(clock.least, now.value)}` : "";
}

/** A fixture of the shop: what stands in it, what waits for it, and what was done in it. */
export function FixtureScreen({ name, title }: PlaceProps) {
  const wanted = slug(name);
  const uses = usesOf(`|${wanted}`);
  const fixture = uses[0]?.fixture;
  if (!fixture) return <Missing what={`No build on this phone uses a fixture ${wanted}.`} />;
  const operations = (view: BuildView) => uses.flatMap(({ build, op }) => (build.id === view.id ? [op.id] : []));
  return (
    <>
      <Top title={begun(fixture.owned ?? fixture.title)} over={title} back="/scan" />
      <FixtureBlocks fixture={fixture} uses={uses} />
      {builds.value
        .filter((view) => operations(view).length > 0)
        .map((view) => (
          <Story
            key={view.id}
            title={`History, ${view.name || view.sheet.title}`}
            view={view}
            lines={doneIn(view, operations(view))}
          />
        ))}
    </>
  );
}
