/** Operations that a place is about, a line each. */
import type { ComponentChildren } from "preact";
import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { builds } from "../../live/state.ts";
import type { Operation } from "../../wire.gen.ts";
import { operationPath } from "../paths.ts";
import { PieceTitle } from "../words/piece.tsx";
import { statusWords } from "../words/status.ts";
import { statusOf, type Work } from "../words/whose.ts";

/** Operations of all builds that fit. */
export function work(fits: (operation: Operation) => boolean): readonly Work[] {
  return builds.value.flatMap((view) => view.sheet.operations.filter(fits).map((operation) => ({ view, operation })));
}

/** Whether it is still to be done. */
export function isLeft(one: Work): boolean {
  return statusOf(one) !== "done";
}

/** In hand before ready before waiting. */
const ORDER = ["in-hand", "in-clamps", "spoiled", "ready", "waiting", "done"];

type QueueProps = {
  readonly title: string;
  readonly works: readonly Work[];
  readonly none: string;
  readonly more?: (one: Work) => ComponentChildren;
};

/** Operations, a line each, the nearest first. */
export function Queue({ title, works, none, more }: QueueProps) {
  const rank = (one: Work) => ORDER.indexOf(statusOf(one));
  return (
    <section class="block">
      <h2>{title}</h2>
      {works.length === 0 && <p class="soft">{none}</p>}
      <ul class="rows">
        {[...works]
          .sort((a, b) => rank(a) - rank(b))
          .map((one) => (
            <li key={`${one.view.id} ${one.operation.id}`} class="row">
              <Link to={operationPath(one.view.id, one.operation.id)} class="row-words">
                <Icon name={statusWords(statusOf(one), one.operation)[1]} />
                <span>
                  <PieceTitle view={one.view} id={one.operation.id} />
                  <small>{more ? more(one) : statusWords(statusOf(one), one.operation)[0]}</small>
                </span>
              </Link>
            </li>
          ))}
      </ul>
    </section>
  );
}
