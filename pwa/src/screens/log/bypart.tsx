import { useMemo } from "preact/hooks";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { showCode } from "../../recipe/label_code.ts";
import { storyOf } from "../words/happenings.ts";
import { fullTitle } from "../words/names.ts";
import { Lines } from "./story.tsx";

/** The same story, told for each part and assembly. */
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
