import { useSignal } from "@preact/signals";
import type { What } from "../../bench/book.ts";
import { HAPPENINGS, type MainMark } from "../../bench/happening_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button, Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { HOUR_MS } from "../../durations.ts";
import { record } from "../../live/record.ts";
import { advice, builds, now, shop } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import { operationPath, partPath } from "../paths.ts";
import { fullTitle, titleOf } from "../words/names.ts";
import { nextMark, subjectsOf } from "./marks.ts";
import { objectionTo } from "./objections.ts";
import { BeginDialog, EarlyDialog, FinishDialog } from "./reason_dialogs.tsx";

type NextActionProps = { readonly view: BuildView; readonly operation: Operation };

/** The one main button: it changes as the operation goes on, and asks first where something speaks against it. */
export function NextAction({ view, operation }: NextActionProps) {
  const asked = useSignal<MainMark | null>(null);
  const state = view.bench.operations[operation.id];
  if (!state) return null;
  if (state.status === "spoiled") return <SpoiledPartLink view={view} lost={state.lost} />;
  const mark = nextMark(operation, state);
  if (mark === null) return <OnwardAction view={view} operation={operation} />;
  const { button, hint } = HAPPENINGS[mark];
  const objection = objectionTo(view, operation, mark);
  const close = () => (asked.value = null);
  const take = (reason = "") => {
    void recordMark(view, operation, mark, reason);
    close();
    if (operation.clocks.some(({ starts }) => starts === mark)) scrollTo(0, 0);
  };
  const tap = () => {
    if (objection) asked.value = mark;
    else take();
  };
  return (
    <div class="deeds">
      <p class="hint">{objection ?? hint}</p>
      <Button kind="main" icon={mark === "finished" ? "done" : "onward"} onTap={tap}>
        {button}
      </Button>
      {asked.value === "began" && <BeginDialog view={view} operation={operation} onReason={take} onClose={close} />}
      {asked.value === "clamps-off" && (
        <EarlyDialog view={view} operation={operation} onReason={take} onClose={close} />
      )}
      {asked.value === "finished" && <FinishDialog view={view} operation={operation} onFinish={take} onClose={close} />}
    </div>
  );
}

/** Records the mark; the reason for beginning early is kept as a note. */
async function recordMark(view: BuildView, operation: Operation, mark: MainMark, reason: string): Promise<void> {
  const about = subjectsOf(operation);
  if (mark === "began" && reason) await record(view.id, { kind: "noted", text: `Begun early: ${reason}` }, about);
  await record(view.id, happeningOf(operation.id, mark, reason), about);
}

function happeningOf(operation: string, mark: MainMark, reason: string): What {
  if (mark === "clamps-off" || mark === "finished") return { kind: mark, operation, reason };
  return mark === "glue-on" || mark === "coat-on" ? { kind: mark, operation, ...air() } : { kind: mark, operation };
}

const STALE_MS = 12 * HOUR_MS;

/** The last reading of the air, when it is not too old to say anything. */
function air(): { celsius: number | null; humidity: number | null } {
  const last = shop.value.readings.at(-1);
  if (!last || now.value - last.ms > STALE_MS) return { celsius: null, humidity: null };
  return { celsius: last.celsius, humidity: last.humidity ?? null };
}

/** After the last mark: a link to the operation that is next. */
function OnwardAction({ view, operation }: NextActionProps) {
  const next = advice.value.now.find((choice) => choice.operation !== operation.id || choice.build !== view.id);
  const sheet = builds.value.find(({ id }) => id === next?.build)?.sheet;
  return (
    <div class="deeds">
      <p class="hint">
        <Icon name="done" /> This is done.
      </p>
      {next && sheet ? (
        <Link to={operationPath(next.build, next.operation)} class="button main" icon="onward">
          <span>Next: {fullTitle(sheet, next.operation)}</span>
        </Link>
      ) : (
        <Link to="/" class="button main" icon="bench">
          <span>To the bench</span>
        </Link>
      )}
    </div>
  );
}

function SpoiledPartLink({ view, lost }: { view: BuildView; lost: readonly string[] }) {
  const [first] = lost;
  if (first === undefined) return null;
  return (
    <div class="deeds">
      <p class="hint">{titleOf(view.sheet, first)} is spoiled. Make it again before this can go on.</p>
      <Link to={partPath(view.id, first)} class="button main" icon="onward">
        <span>To {titleOf(view.sheet, first)}</span>
      </Link>
    </div>
  );
}
