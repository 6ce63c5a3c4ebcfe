import "./operation.css";
import type { BuildView } from "../bench/loaded_builds.ts";
import { Icon } from "../controls/icon.tsx";
import { Top } from "../controls/top.tsx";
import { running } from "../live/state.ts";
import { show, TIME } from "../recipe/measure.ts";
import type { Operation } from "../wire.gen.ts";
import { Clocks } from "./bench/clocks.tsx";
import { Missing } from "./missing.tsx";
import { AirReading } from "./operation/air_reading.tsx";
import { Cautions } from "./operation/cautions.tsx";
import { Checks } from "./operation/checks.tsx";
import { Instructions } from "./operation/instructions.tsx";
import { NextAction } from "./operation/next_action.tsx";
import { clampsShort, inTheWay } from "./operation/objections.ts";
import { Parts } from "./operation/parts.tsx";
import { SetupBlock } from "./operation/setup.tsx";
import { Sharpen } from "./operation/sharpen.tsx";
import { Sizes } from "./operation/sizes.tsx";
import { Timing } from "./operation/timing.tsx";
import { ToSizes } from "./operation/to_size.tsx";
import { Together } from "./operation/together.tsx";
import { Tools } from "./operation/tools.tsx";
import { buildPath } from "./paths.ts";
import { operationOf } from "./words/names.ts";
import { NO_CLAMPS, NO_FIXTURE, statusWords, TO_MEASURE } from "./words/status.ts";

/** One operation in the hand: what to set, do, tick and check, and the one button that is next. */
export function OperationScreen({ view, operation: id }: { readonly view: BuildView; readonly operation: string }) {
  const operation = operationOf(view.sheet, id);
  const state = view.bench.operations[id];
  if (!operation || !state) return <Missing what={`This build has no operation “${id}”.`} />;
  const [word, icon] = state.to_measure?.length
    ? TO_MEASURE
    : (state.status === "ready" && blockedWords(view, operation)) || statusWords(state.status, operation);
  const own = running.value.filter((clock) => clock.build === view.id && clock.operation === id);
  return (
    <>
      <Top title={operation.title} back={buildPath(view.id)} over={overTitle(view, operation)} />
      <p class="status-line">
        <Icon name={icon} />
        <strong>{word}</strong>
        <span class="soft">{attended(operation)}</span>
      </p>
      <Together view={view} operation={operation} />
      <Clocks clocks={own} own />
      <SetupBlock view={view} operation={operation} />
      <Instructions view={view} operation={operation} />
      <Cautions
        operation={operation}
        sheet={view.sheet}
        open={state.status === "ready" || state.status === "waiting"}
      />
      {(operation.glue || operation.finish) && <AirReading />}
      <ToSizes view={view} operation={operation} />
      <Sizes view={view} operation={operation} />
      {operation.parts.length > 0 && <Parts view={view} operation={operation} />}
      <Checks view={view} operation={operation} />
      <Sharpen operation={operation} />
      <Timing operation={operation} />
      <Tools view={view} operation={operation} />
      <NextAction view={view} operation={operation} />
    </>
  );
}

/** Of an operation that is ready but for its fixture or its clamps. */
function blockedWords(view: BuildView, operation: Operation) {
  if (inTheWay(view, operation)) return NO_FIXTURE;
  return clampsShort(view, operation)?.by ? NO_CLAMPS : null;
}

function overTitle(view: BuildView, { piece, station }: Operation): string {
  return [...(piece && view.sheet.pieces.length > 1 ? [`Piece ${piece}`] : []), station].join(" · ");
}

function attended({ minutes }: Operation): string {
  return minutes > 0 ? `about ${show(minutes, TIME, "mm")} of your time` : "";
}
