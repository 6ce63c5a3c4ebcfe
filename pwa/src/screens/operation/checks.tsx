import type { BuildView } from "../../bench/loaded_builds.ts";
import { Button } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { record } from "../../live/record.ts";
import type { Operation } from "../../wire.gen.ts";
import { subjectsOf } from "./steps.ts";

type ChecksProps = {
  readonly view: BuildView;
  readonly operation: Operation;
  readonly open?: boolean;
  readonly of?: string;
};

/** What to look at before the operation counts as done: good, or not good. `open` leaves out what was good. of: whose. */
export function Checks({ view, operation, open = false, of = "" }: ChecksProps) {
  const seen = view.bench.operations[operation.id]?.checks ?? {};
  const rows = (operation.checks ?? []).map((text, n) => ({ text, n, good: seen[String(n)] }));
  const shown = open ? rows.filter(({ good }) => good !== true) : rows;
  if (shown.length === 0) return null;
  return (
    <section class="block">
      <h2>Checks {of && <span>{of}</span>}</h2>
      <ul class="rows">
        {shown.map(({ text, n, good }) => (
          <li key={n} class="check">
            <p>
              <Icon name={good === undefined ? "empty" : good ? "done" : "spoiled"} large />
              <span>
                {text}
                <small>{good === undefined ? "not looked at yet" : good ? "good" : "not good"}</small>
              </span>
            </p>
            <div class="pair">
              <Button onTap={() => look(view, operation, n, true)} pressed={good === true}>
                Good
              </Button>
              <Button onTap={() => look(view, operation, n, false)} pressed={good === false}>
                Not good
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}

function look(view: BuildView, operation: Operation, check: number, good: boolean): void {
  void record(view.id, { kind: "checked", operation: operation.id, check, good }, subjectsOf(operation));
}
