import { useMemo } from "preact/hooks";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { now, units } from "../../live/state.ts";
import { clockTime, iso } from "../../moments.ts";
import type { Happening } from "../../wire.gen.ts";
import { Picture } from "../photo/picture.tsx";
import { who } from "../words/devices.ts";
import { sentence, storyOf } from "../words/happenings.ts";
import { around } from "../words/names.ts";

/** All that was done to a part, and to what it is glued into, newest first. */
export function History({ view, id }: { view: BuildView; id: string }) {
  const lines = useMemo(() => linesOf(view, id), [view, id]);
  return (
    <section class="block">
      <h2>History</h2>
      {lines.length === 0 && <p class="soft">Nothing yet.</p>}
      <ol class="story">
        {lines.map((h) => (
          <li key={h.id}>
            <Moment ms={view.book.moment(h).ms} />
            <span>
              {sentence(h.what, { sheet: view.sheet, units: units.value })}
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
  return storyOf(view)
    .filter(({ about }) => about.some((one) => ids.has(one)))
    .reverse();
}
