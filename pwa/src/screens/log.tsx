import "./log.css";
import { useSignal } from "@preact/signals";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Button } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { summaries } from "../live/state.ts";
import { longDate } from "../moments.ts";
import { ByPart, Story } from "./log/story.tsx";
import { Times } from "./log/times.tsx";
import { buildPath } from "./paths.ts";
import { Chosen } from "./words/chosen.tsx";
import { counted } from "./words/names.ts";

const WAYS = [
  ["story", "Story"],
  ["times", "Times"],
  ["parts", "By part"],
] as const;

/** What was done, when, with which settings and times; made to be printed. */
export function LogScreen({ view, title }: { readonly view: BuildView; readonly title: string }) {
  const way = useSignal<(typeof WAYS)[number][0]>("story");
  const summary = summaries.value.find(({ id }) => id === view.id);
  return (
    <div class="log" data-shown={way.value}>
      <Top
        title={`${title}: ${view.name || view.sheet.title}`}
        back={buildPath(view.id)}
        over={view.name ? view.sheet.title : ""}
      />
      <p>
        {counted(view.sheet.pieces.length, "piece")}
        {summary && `, started ${longDate(summary.started_ms)}`}
        {view.bench.finished ? ", finished." : ", not finished yet."}
      </p>
      <Chosen sheet={view.sheet} />
      <p class="soft">
        What stands here was recorded at the bench; what nobody recorded is not made up. It never says that a joint or a
        cut is safe.
      </p>
      <div class="pair screen-only">
        <Button icon="print" onTap={() => window.print()}>
          Print
        </Button>
        <a class="button plain" href={`/builds/${view.id}/log.pdf`}>
          <Icon name="print" />
          <span>PDF</span>
        </a>
      </div>
      <div class="pieces screen-only">
        {WAYS.map(([key, words]) => (
          <button
            key={key}
            type="button"
            class="chip"
            aria-pressed={way.value === key}
            onClick={() => (way.value = key)}
          >
            {words}
          </button>
        ))}
      </div>
      <Story view={view} />
      <Times view={view} />
      <ByPart view={view} />
    </div>
  );
}
