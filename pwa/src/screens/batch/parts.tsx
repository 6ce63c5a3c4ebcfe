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

/** Grouped, each group has its own mark, count and button for all. */
function PartsOfOne({ work, among, grouped }: OneProps) {
  const { view, operation } = work;
  const left = view.bench.operations[operation.id]?.left ?? [];
  return (
    <div>
      <div class="piece-head">
        <h3>
          <BuildMark work={work} among={among} /> <Count work={work} />
        </h3>
        {!grouped && isInHand(work) && left.length > 1 && (
          <button type="button" class="chip" onClick={() => void tickAll(view, operation, left)}>
            All {left.length}
          </button>
        )}
      </div>
      <PartTicks view={view} operation={operation} ids={operation.parts} grouped={grouped} />
    </div>
  );
}

function Count({ work }: { readonly work: Work }) {
  const parts = partsIn([work]);
  return <span class="soft figure">{`${parts - leftIn([work])} of ${parts}`}</span>;
}
