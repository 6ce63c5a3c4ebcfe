import { Link } from "../../controls/button.tsx";
import { show, TIME } from "../../recipe/measure.ts";
import type { Operation } from "../../wire.gen.ts";
import { fixturePath } from "../paths.ts";
import { counted, listed, stuffName, titleOf } from "../words/names.ts";
import type { Work } from "../words/whose.ts";

/** What to do, step by step, what to have at hand for it, and what it makes. */
export function Instructions({ view, operation }: Work) {
  return (
    <section class="block">
      <h2>What to do</h2>
      <ol class="steps">
        {operation.do.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <AtHand operation={operation} />
      <Fixtures view={view} operation={operation} />
      {operation.makes && <p class="soft">Makes: {titleOf(view.sheet, operation.makes)}.</p>}
    </section>
  );
}

/** What to have within reach before beginning. */
function AtHand({ operation }: { operation: Operation }) {
  const clamps = Object.entries(operation.clamps ?? {}).map(([kind, count]) => counted(count, `${kind} clamp`));
  const spread = operation.spread_minutes;
  const stuff = [operation.glue, operation.finish].flatMap((name) => (name ? [stuffName(name)] : []));
  const things = [...(operation.needs ?? []), ...stuff, ...clamps];
  return (
    <>
      {things.length > 0 && (
        <p>
          <strong>At hand: </strong>
          {listed(things)}.
        </p>
      )}
      {spread != null && <p>Spreading and closing is planned at {show(spread, TIME, "mm")}.</p>}
    </>
  );
}

/** The fixtures that it holds, each one tap away, and until when it holds them. */
function Fixtures({ view, operation }: Work) {
  const held = (view.sheet.fixtures ?? []).filter(({ id }) => operation.fixtures?.[id]);
  if (held.length === 0) return null;
  const until = operation.held_until ? `until “${titleOf(view.sheet, operation.held_until)}” is done` : "";
  return (
    <p>
      <strong>Fixture: </strong>
      {held.map((fixture, n) => (
        <span key={fixture.id}>
          {n > 0 && ", "}
          <Link to={fixturePath(view.id, fixture)} class="text-way">
            {fixture.title}
          </Link>
          {(operation.fixtures?.[fixture.id] ?? 1) > 1 && ` × ${operation.fixtures?.[fixture.id]}`}
        </span>
      ))}
      {until && `, ${until}`}.
    </p>
  );
}
