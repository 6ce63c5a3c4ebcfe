import "./story.css";
import { useMemo } from "preact/hooks";
import type { Book } from "../../bench/book.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { unitsOf } from "../../live/state.ts";
import { dayAndTime, iso, longDate, timeOfDay } from "../../moments.ts";
import { showCode } from "../../recipe/label_code.ts";
import type { Happening } from "../../wire.gen.ts";
import { Picture } from "../photo/picture.tsx";
import { who } from "../words/devices.ts";
import { sentence, storyOf } from "../words/happenings.ts";
import { fullTitle } from "../words/names.ts";

/** Everything in order, day by day. */
export function Story({ view }: { view: BuildView }) {
  return (
    <section class="log-part story-part">
      <h2>Story</h2>
      {days(
        useMemo(() => storyOf(view), [view]),
        view.book,
      ).map(([day, lines]) => (
        <section key={day}>
          <h3>{day}</h3>
          <Lines lines={lines} view={view} />
        </section>
      ))}
    </section>
  );
}

type LinesProps = { readonly lines: readonly Happening[]; readonly view: BuildView; readonly dated?: boolean };

/** Some happenings, each with its time and who recorded it. */
export function Lines({ lines, view, dated = false }: LinesProps) {
  return (
    <ol class="story">
      {lines.map((h) => (
        <li key={h.id}>
          <Time ms={view.book.moment(h).ms} write={dated ? dayAndTime : timeOfDay} />
          <span>
            {sentence(h.what, { sheet: view.sheet, units: unitsOf(view.sheet) })}
            <small>{who(h.at.device)}</small>
            <Picture view={view} h={h} />
          </span>
        </li>
      ))}
    </ol>
  );
}

/** A moment in ms. */
function Time({ ms, write }: { readonly ms: number; readonly write: (ms: number) => string }) {
  return <time dateTime={iso(ms)}>{write(ms)}</time>;
}

/** By day, earliest first; the lines come in order already. */
function days(lines: readonly Happening[], book: Book): [string, Happening[]][] {
  const byDay = new Map<string, Happening[]>();
  for (const h of lines) {
    const day = longDate(book.moment(h).ms);
    byDay.set(day, [...(byDay.get(day) ?? []), h]);
  }
  return [...byDay];
}

/** The story of each part and assembly. */
export function ByPart({ view }: { view: BuildView }) {
  const lines = useMemo(() => storyOf(view), [view]);
  return (
    <section class="log-part parts-part">
      <h2>By part</h2>
      {[...view.sheet.parts, ...view.sheet.assemblies].map(({ id }) => {
        const own = lines.filter(({ about }) => about.includes(id));
        const code = view.bench.parts[id]?.code;
        return (
          <section key={id}>
            <h3>
              {fullTitle(view.sheet, id)} {code && <span class="code">{showCode(code)}</span>}
            </h3>
            {own.length > 0 ? <Lines lines={own} view={view} dated /> : <p class="soft">Not recorded.</p>}
          </section>
        );
      })}
    </section>
  );
}
