import { clockTime } from "../../controls/moments.ts";
import { type BuildView, now, units } from "../../live.ts";
import { who } from "../words/devices.ts";
import { told } from "../words/happenings.ts";
import { around } from "../words/names.ts";

/** All that was done to a part, and to what it is glued into, newest first. */
export function History({ view, id }: { view: BuildView; id: string }) {
  const ids = new Set([id, ...around(view, id)]);
  const lines = view.book
    .told()
    .filter(({ about }) => about.some((one) => ids.has(one)))
    .filter(({ what }) => what?.kind !== "undone" && what?.kind !== "acknowledged")
    .reverse();
  return (
    <section class="block">
      <h2>History</h2>
      {lines.length === 0 && <p class="soft">Nothing yet.</p>}
      <ol class="story">
        {lines.map((h) => (
          <li key={h.id}>
            <time dateTime={new Date(h.at.ms).toISOString()}>{clockTime(h.at.ms, now.value)}</time>
            <span>
              {told(h.what, { sheet: view.sheet, units: units.value })}
              <small>{who(h.at.device)}</small>
            </span>
          </li>
        ))}
      </ol>
    </section>
  );
}
