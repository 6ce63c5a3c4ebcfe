/** What stands in a fixture now, and what waits for it. */
import { clampClock, type FixtureUse, fixtureUses, isHeld } from "../../bench/fixtures.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { builds, now, running } from "../../live/state.ts";
import type { Fixture } from "../../wire.gen.ts";
import { inTheWay } from "../operation/objections.ts";
import { freeSentence } from "../words/fixtures.ts";
import { STATUS } from "../words/status.ts";
import { statusOf, type Work } from "../words/whose.ts";
import { isLeft, Queue } from "./queue.tsx";

/** A fixture: what it is for, what stands in it now and until when, and what waits for it. */
export function FixtureBlocks({ fixture, uses }: { readonly fixture: Fixture; readonly uses: readonly FixtureUse[] }) {
  const held = uses.filter(isHeld);
  const waiting = uses.filter((use) => !held.includes(use)).flatMap(workOf);
  return (
    <>
      {fixture.about && <p>{fixture.about}</p>}
      <Queue
        title="Stands in it now"
        works={held.flatMap(workOf)}
        none="It is free."
        more={(one) => named(fixture, one, freeOf(held, one))}
      />
      <Queue
        title="Needs it still"
        works={waiting.filter(isLeft)}
        none="Nothing more needs it."
        more={(one) => named(fixture, one, whyNot(one))}
      />
    </>
  );
}

/** All uses of one fixture. key: over all builds. */
export function usesOf(key: string): readonly FixtureUse[] {
  return fixtureUses(builds.value).filter((use) => use.key === key);
}

function workOf({ build, op }: FixtureUse): readonly Work[] {
  const view = viewOf(build.id);
  return view ? [{ view, operation: op }] : [];
}

function viewOf(build: string): BuildView | undefined {
  return builds.value.find(({ id }) => id === build);
}

/** With the build's name where several builds may use it. */
function named({ owned }: Fixture, { view }: Work, words: string): string {
  return owned && view.name ? `${view.name}: ${words}` : words;
}

function whyNot(one: Work): string {
  const isBlocked = statusOf(one) === "ready" && inTheWay(one.view, one.operation);
  return isBlocked ? "Ready, when it is free" : STATUS[statusOf(one)][0];
}

function freeOf(held: readonly FixtureUse[], { view, operation }: Work): string {
  const by = held.find(({ build, op }) => build.id === view.id && op.id === operation.id);
  return by ? freeSentence({ by, clock: clampClock(by, running.value) }, now.value) : "";
}
