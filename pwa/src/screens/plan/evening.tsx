import { Link } from "../../controls/button.tsx";
import { Icon } from "../../controls/icon.tsx";
import { now } from "../../live/state.ts";
import { clockTime } from "../../moments.ts";
import type { Evening } from "../../wire.gen.ts";
import { operationPath } from "../paths.ts";

/** What can cure overnight if it is begun in time, the most pressing first; the reason says until when. */
export function EveningList({ evening }: { evening: readonly Evening[] }) {
  if (evening.length === 0) return null;
  return (
    <section class="block">
      <h2>Before you go home</h2>
      <ul class="rows">
        {[...evening]
          .sort((a, b) => a.by - b.by)
          .map((one) => (
            <li key={`${one.build} ${one.operation}`} class="row">
              <Link to={operationPath(one.build, one.operation)} class="row-words" icon="waiting">
                <span>
                  {beginBy(one)}: {one.title}
                  <small>{one.reason}</small>
                </span>
                <Icon name="onward" />
              </Link>
            </li>
          ))}
      </ul>
    </section>
  );
}

/** "Begin by 16:10", or that it is too late for that. */
export function beginBy({ by }: Evening): string {
  const time = clockTime(by, now.value);
  return by < now.value ? `Was to begin by ${time}` : `Begin by ${time}`;
}
