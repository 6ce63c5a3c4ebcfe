import { useMemo } from "preact/hooks";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { now, unitsOf } from "../../live/state.ts";
import { clockTime, iso } from "../../moments.ts";
import type { Happening } from "../../wire.gen.ts";
import { Picture } from "../photo/picture.tsx";
import { who } from "../words/devices.ts";
import { sentence, storyOf } from "../words/happenings.ts";
import { around } from "../words/names.ts";

/** All that was done to a part, to what it is glued into, and in it if it is a fixture, newest first. */
export function History({ view, id }: { view: BuildView; id: string }) {
  const lines = useMemo(() => linesOf(view, id), [view, id]);
  return <Story title="History" view={view} lines={lines} />;
}

type StoryProps = { readonly title: string; readonly view: BuildView; readonly lines: readonly Happening[] };

/** Entries of a build, each in a sentence. */
export function Story({ title, view, lines }: StoryProps) {
  return (
    <section class="block">
      <h2>{title}</h2>
      {lines.length === 0 && <p class="soft">Nothing yet.</p>}
      <ol class="story">
        {lines.map((h) => (
          <li key={h.id}>
            <Moment ms={view.book.moment(h).ms} />
            <span>
              {sentence(h.what, { sheet: view.sheet, units: unitsOf(view.sheet) })}
              <small>{who(h.at.device)}</small>
              <Picture view={view} h={h} />
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Moment({ ms }: { readonly ms: number }) {
  return <time dateTime={iso(ms)}>{clockTime(ms, now.value)}</time>;
}

function linesOf(view: BuildView, id: string): readonly Happening[] {
  const ids = new Set([id, ...around(view, id)]);
  const inside = new Set(doneIn(view, operationsIn(view, id)));
  return storyOf(view)
    .filter((h) => inside.has(h) || h.about.some((one) => ids.has(one)))
    .reverse();
}

/** The operations that hold a part or assembly as their fixture. */
function operationsIn({ sheet }: BuildView, id: string): readonly string[] {
  const fixtures = (sheet.fixtures ?? []).filter(({ of }) => of?.includes(id)).map((fixture) => fixture.id);
  return sheet.operations.filter((op) => fixtures.some((fixture) => op.fixtures?.[fixture])).map((op) => op.id);
}

/** All that was done in these operations, newest first. */
export function doneIn(view: BuildView, operations: readonly string[]): readonly Happening[] {
  return storyOf(view)
    .filter(({ what }) => what && "operation" in what && operations.includes(what.operation))
    .reverse();
}
