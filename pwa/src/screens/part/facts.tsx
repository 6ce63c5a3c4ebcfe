import type { BuildView } from "../../bench/loaded_builds.ts";
import { partMm, sizesOf } from "../../bench/sizes.ts";
import { Link } from "../../controls/button.tsx";
import { units } from "../../live/state.ts";
import type { Assembly, Part } from "../../wire.gen.ts";
import { partPath } from "../paths.ts";
import { placeOnBoard } from "../words/boards.ts";
import { begun, titleOf } from "../words/names.ts";
import { shown } from "../words/sizes.ts";

const ALONG = ["Length, along the grain", "Width", "Thickness"];

/** What the drawing says of it: sizes with what is built, stock, grain, mark, and what it meets. */
export function Facts({ view, part }: { view: BuildView; part: Part | Assembly }) {
  return (
    <section class="block">
      {"of" in part ? <JoinedParts view={view} assembly={part} /> : <PartFacts view={view} part={part} />}
    </section>
  );
}

function PartFacts({ view, part }: { view: BuildView; part: Part }) {
  const now = partMm(part, sizesOf(view.sheet, view.bench.as_built, part.piece));
  return (
    <>
      <h2>Sizes</h2>
      <dl class="sizes">
        {now.map((mm, n) => {
          const plan = shown(part.plan_mm[n], "length", units.value);
          const built = shown(mm, "length", units.value);
          return (
            <div key={ALONG[n]}>
              <dt>{ALONG[n]}</dt>
              <dd>
                <strong class="figure">{built}</strong>
                {built !== plan && <small>from sizes as built, plan {plan}</small>}
              </dd>
            </div>
          );
        })}
      </dl>
      <dl class="facts">
        <Fact name="Stock" text={part.stock} />
        <Fact name="Grain" text={part.grain} />
        <Fact name="Mark" text={part.mark} />
        <Fact name="Board" text={placeOnBoard(view.sheet, part.id)} />
      </dl>
      {(part.mates ?? []).length > 0 && (
        <>
          <h2>Meets</h2>
          <ul class="rows">
            {(part.mates ?? []).map(({ end, to, at }) => (
              <li key={`${end} ${to} ${at}`} class="row">
                <Link to={partPath(view.id, to)} class="row-words">
                  <span>
                    {titleOf(view.sheet, to)}
                    <small>{begun([end, at].filter(Boolean).join(" to ")) || "Joined"}</small>
                  </span>
                </Link>
              </li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}

function Fact({ name, text = "" }: { name: string; text?: string | undefined }) {
  return text ? (
    <div>
      <dt>{name}</dt>
      <dd>{text}</dd>
    </div>
  ) : null;
}

function JoinedParts({ view, assembly }: { view: BuildView; assembly: Assembly }) {
  return (
    <>
      <h2>Joined from</h2>
      <ul class="rows">
        {assembly.of.map((id) => (
          <li key={id} class="row">
            <Link to={partPath(view.id, id)} class="row-words">
              <span>{titleOf(view.sheet, id)}</span>
            </Link>
          </li>
        ))}
      </ul>
    </>
  );
}
