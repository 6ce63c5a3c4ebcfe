import { Icon } from "../../controls/icon.tsx";
import { Notice } from "../../controls/notice.tsx";
import { now } from "../../live/state.ts";
import { clockTime, span } from "../../moments.ts";
import type { Reply } from "../../store/server_client.ts";
import type { Difference, Forecast, PresentedPlan } from "../../wire.gen.ts";

/** What would come of it, build by build; or why nobody can say. */
export function Outcome({ reply, plan }: { reply: Reply<Difference>; plan: PresentedPlan }) {
  if (reply.kind !== "ok") return <Notice icon="away" what={reply.problem.what} next={reply.problem.next_step} />;
  const { sentence, forecasts } = reply.value;
  const before = new Map(plan.forecasts.map((one) => [one.build, one]));
  return (
    <article class="outcome">
      <p>
        <strong>{sentence}</strong>
      </p>
      <ul class="rows">
        {forecasts.map((one) => (
          <li key={one.build} class="row">
            <NewForecast then={one} before={before.get(one.build)} />
          </li>
        ))}
      </ul>
    </article>
  );
}

function NewForecast({ then, before }: { then: Forecast; before: Forecast | undefined }) {
  const sooner = before ? before.finish - then.finish : 0;
  return (
    <p class="row-words">
      <Icon name={sooner > 0 ? "check" : sooner < 0 ? "warn" : "clock"} />
      <span>
        {then.name}: {clockTime(then.finish, now.value)}
        <small>{differs(sooner, before)}</small>
      </span>
    </p>
  );
}

function differs(sooner: number, before: Forecast | undefined): string {
  if (!before) return "";
  if (sooner === 0) return "As it is now.";
  return `${span(Math.abs(sooner))} ${sooner > 0 ? "sooner" : "later"} than ${clockTime(before.finish, now.value)}.`;
}
