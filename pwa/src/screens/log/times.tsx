import { CLOCKS, wordsOf } from "../../bench/clock_kinds.ts";
import type { BuildView } from "../../bench/loaded_builds.ts";
import { MINUTE_MS } from "../../durations.ts";
import { unitsOf } from "../../live/state.ts";
import { span, timeOfDay } from "../../moments.ts";
import { show, TIME } from "../../recipe/measure.ts";
import type { Operation } from "../../wire.gen.ts";
import { counted, fullTitle, setupOf } from "../words/names.ts";
import { shown } from "../words/sizes.ts";

const NOT_RECORDED = "not recorded";

/** Planned beside real, operation by operation: times, settings, and how long clamps and coats had. */
export function Times({ view }: { view: BuildView }) {
  const begun = view.sheet.operations.filter(
    ({ id }) => Object.keys(view.bench.operations[id]?.marks ?? {}).length > 0,
  );
  const shown = view.bench.finished ? view.sheet.operations : begun;
  const open = view.sheet.operations.length - begun.length;
  return (
    <section class="log-part times-part">
      <h2>Times and settings</h2>
      {!view.bench.finished && open > 0 && <p>{counted(open, "operation")} not begun.</p>}
      {shown.map((operation) => (
        <section key={operation.id}>
          <h3>{fullTitle(view.sheet, operation.id)}</h3>
          <dl class="facts">
            <WorkTime view={view} operation={operation} />
            <AsSet view={view} operation={operation} />
            {operation.clocks.map((clock) => (
              <div key={clock.kind}>
                <dt>{wordsOf(clock.kind, operation).name}</dt>
                <dd>
                  {lasted(view, operation, clock.starts, clock.ends)},{" "}
                  {CLOCKS[clock.kind].reminder ? "rings after" : "planned"}{" "}
                  {show((clock.least_ms ?? clock.most_ms ?? 0) / MINUTE_MS, TIME, "mm")}
                  {clock.least_ms === null ? " at most" : CLOCKS[clock.kind].reminder ? "" : " at least"}
                </dd>
              </div>
            ))}
            <Reasons view={view} operation={operation} />
          </dl>
        </section>
      ))}
    </section>
  );
}

function WorkTime({ view, operation }: { view: BuildView; operation: Operation }) {
  const marks = view.bench.operations[operation.id]?.marks ?? {};
  const [began, finished] = [marks.began, marks.finished];
  const when =
    began === undefined
      ? NOT_RECORDED
      : `${timeOfDay(began)} to ${finished === undefined ? NOT_RECORDED : timeOfDay(finished)}`;
  return (
    <div>
      <dt>From begin to finish</dt>
      <dd>
        {when}
        {began !== undefined && finished !== undefined && finished >= began && `: ${span(finished - began)}`}, planned{" "}
        {show(operation.minutes, TIME, "mm")} of your time
      </dd>
    </div>
  );
}

/** What the station was set to, planned beside as set. The latest setting before the end counts. */
function AsSet({ view, operation }: { view: BuildView; operation: Operation }) {
  const setup = operation.setup ? setupOf(view.sheet, operation.setup) : undefined;
  if (!setup) return null;
  const finished = view.bench.operations[operation.id]?.stamps?.finished ?? Number.POSITIVE_INFINITY;
  const set = view.book
    .all("set-up", setup.station)
    .filter(({ at, what }) => what?.kind === "set-up" && what.setup === setup.id && at.ms <= finished)
    .at(-1)?.what;
  const values = set?.kind === "set-up" ? (set.values ?? {}) : {};
  return (
    <>
      {setup.set.map(({ name, dim, plan }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>
            {values[name] === undefined ? NOT_RECORDED : `as set ${shown(values[name], dim, unitsOf(view.sheet))}`},
            planned {shown(plan, dim, unitsOf(view.sheet))}
          </dd>
        </div>
      ))}
    </>
  );
}

function lasted(view: BuildView, operation: Operation, starts: string, ends: readonly string[]): string {
  const marks = view.bench.operations[operation.id]?.marks ?? {};
  const from = marks[starts];
  if (from !== undefined && ends.length === 0) return `from ${timeOfDay(from)}`;
  const to = ends.map((end) => marks[end]).find((mark) => mark !== undefined);
  return from === undefined || to === undefined ? NOT_RECORDED : span(to - from);
}

function Reasons({ view, operation }: { view: BuildView; operation: Operation }) {
  const reasons = Object.entries(view.bench.operations[operation.id]?.reasons ?? {});
  return (
    <>
      {reasons.map(([kind, reason]) => (
        <div key={kind}>
          <dt>Reason given</dt>
          <dd>{reason}</dd>
        </div>
      ))}
    </>
  );
}
