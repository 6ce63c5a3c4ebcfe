import { isInHand, MANY, PartTicks, Through, TickByScanning } from "../operation/parts.tsx";
import { tickAll } from "../operation/ticks.ts";
import { BuildMark } from "../words/build_mark.tsx";
import { leftIn, partsIn, type Work } from "../words/whose.ts";
import { keyOf } from "./members.ts";

/** The parts of all in one list, those of each piece under its mark. */
export function BatchParts({ works }: { readonly works: readonly Work[] }) {
  const grouped = partsIn(works) > MANY;
  return (
    <section class="block">
      <h2>
        Parts <Through works={works} />
      </h2>
      {works.map((work) => (
        <PartsOfOne key={keyOf(work)} work={work} among={works} grouped={grouped} />
      ))}
      <TickByScanning works={works} />
    </section>
  );
}

type OneProps = { readonly work: Work; readonly among: readonly Work[]; readonly grouped: boolean };

/** In rows under the mark of its piece, or in groups that bear it. */
function PartsOfOne({ work, among, grouped }: OneProps) {
  const ids = work.operation.parts;
  const mark = <BuildMark work={work} among={among} />;
  if (grouped) return <PartTicks {...work} ids={ids} grouped mark={mark} />;
  return (
    <div>
      <div class="piece-head">
        <h3>
          {mark} <Count work={work} />
        </h3>
        <TickAllOf work={work} />
      </div>
      <PartTicks {...work} ids={ids} grouped={false} />
    </div>
  );
}

function TickAllOf({ work: { view, operation } }: { readonly work: Work }) {
  const left = view.bench.operations[operation.id]?.left ?? [];
  if (!isInHand({ view, operation }) || left.length < 2) return null;
  return (
    <button type="button" class="chip" onClick={() => void tickAll(view, operation, left)}>
      All {left.length}
    </button>
  );
}

function Count({ work }: { readonly work: Work }) {
  const parts = partsIn([work]);
  return <span class="soft figure">{`${parts - leftIn([work])} of ${parts}`}</span>;
}
