import "./builds.css";
import { useSignal } from "@preact/signals";
import { Button, Link } from "../controls/button.tsx";
import { Dialog } from "../controls/dialog.tsx";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { plan } from "../live/plan.ts";
import { now, summaries } from "../live/state.ts";
import { clockTime } from "../moments.ts";
import { StartForm } from "./builds/start_form.tsx";
import { buildPath, logPath } from "./paths.ts";
import { likelyOf, roughly } from "./words/forecast.ts";
import { counted } from "./words/names.ts";

/** Every build with its progress, and the form that starts one. */
export function BuildsScreen({ title }: { readonly title: string }) {
  const starting = useSignal(false);
  const all = summaries.value;
  return (
    <>
      <Top title={title} />
      {all.length === 0 && <p class="soft">No build yet. Start one: a recipe, how many pieces, a name for it.</p>}
      <ul class="build-list">
        {all.map((build) => (
          <li key={build.id}>
            <Link to={build.finished ? logPath(build.id) : buildPath(build.id)} class="build-card">
              <strong>{build.name || build.title}</strong>
              <span class="soft">
                {build.name && `${build.title}, `}
                {counted(build.pieces, "piece")}, started {clockTime(build.started_ms, now.value)}
              </span>
              <progress class="rule" max={build.operations} value={build.done} aria-label="Operations done" />
              <span class="state">
                <Icon name={build.finished ? "done" : build.closed ? "empty" : "in-hand"} />
                {build.finished
                  ? "Finished: read its log"
                  : build.closed
                    ? "Put away"
                    : `${build.done} of ${build.operations} done${forecast(build.id)}`}
              </span>
            </Link>
          </li>
        ))}
      </ul>
      <div class="pair">
        <Link to="/plan" class="button plain" icon="clock">
          <span>Plan</span>
        </Link>
        <Link to="/recipes" class="button plain" icon="note">
          <span>Recipes</span>
        </Link>
      </div>
      <div class="deeds">
        <Button kind="main" icon="plus" onTap={() => (starting.value = true)}>
          Start a build
        </Button>
      </div>
      {starting.value && (
        <Dialog title="Start a build" onClose={() => (starting.value = false)}>
          <StartForm />
        </Dialog>
      )}
    </>
  );
}

/** ", all likely by Thu morning" where it is planned. */
function forecast(build: string): string {
  const found = plan.value?.forecasts.find((one) => one.build === build);
  return found ? `, all likely by ${roughly(likelyOf(found), now.value)}` : "";
}
