import { Link } from "../controls/button.tsx";
import { Icon } from "../controls/icon.tsx";
import { Notice } from "../controls/notice.tsx";
import { Top } from "../controls/top.tsx";
import { advice, builds, running } from "../live/state.ts";
import { Choices, FirstChoice } from "./bench/choices.tsx";
import { Clocks } from "./bench/clocks.tsx";
import { PlanCard, ThisEvening } from "./bench/plancard.tsx";
import { Standing } from "./bench/standing.tsx";

/** What runs, what is for your hands now and why, what fits into the wait, and what the stations stand in. */
export function BenchScreen({ title }: { readonly title: string }) {
  const open = builds.value.filter(({ bench }) => !bench.closed && !bench.finished);
  if (open.length === 0 && running.value.length === 0) return <EmptyBench title={title} />;
  const { now, meanwhile, standing } = advice.value;
  const [first, ...others] = now;
  return (
    <>
      <Top title={title} />
      <Clocks clocks={running.value} />
      <section class="block">
        <h2>For your hands now</h2>
        {first ? <FirstChoice choice={first} /> : <p>Nothing is ready: wait for the clocks.</p>}
      </section>
      <ThisEvening />
      <PlanCard />
      <Choices title="Ready too" choices={others} />
      <Choices title="While that sets" choices={meanwhile} />
      {standing.length > 0 && <Standing setups={standing} />}
    </>
  );
}

function EmptyBench({ title }: { readonly title: string }) {
  return (
    <>
      <Top title={title} />
      <Notice
        icon="plus"
        what="No build is open."
        next="Start one from a recipe: choose it, say how many pieces, print its labels."
      />
      <ol class="first-steps">
        <li>
          <Icon name="thermometer" />
          <span>Write down the temperature under Shop: glue times hang on it.</span>
        </li>
        <li>
          <Icon name="bell" />
          <span>Let this phone ring: Shop says what it can do, and what is missing.</span>
        </li>
        <li>
          <Icon name="warn" />
          <span>
            The tool maker's manual, the glue's label and local codes come first. This is a memory aid, not training.
          </span>
        </li>
      </ol>
      <div class="deeds">
        <Link to="/builds" class="button main" icon="builds">
          <span>Start a build</span>
        </Link>
      </div>
    </>
  );
}
