/** What the page's planner makes of a shop, from all that was recorded in it. */
import { LoadedBuilds } from "../pwa/src/bench/loaded_builds.ts";
import type { Raw } from "../pwa/src/bench/read.ts";
import type { DaysOff } from "../pwa/src/phone/days_off.ts";
import { planQuestion } from "../pwa/src/phone/plan_question.ts";
import { type Asked, askedOf } from "../pwa/src/phone/plan_request.ts";
import { stretches, weekOf } from "../pwa/src/phone/shop_hours.ts";
import { advise } from "../pwa/src/plan/advise.ts";
import { keptPlan } from "../pwa/src/plan/kept_plan.ts";
import { bestPlans } from "../pwa/src/plan/planner.ts";
import { tries } from "../pwa/src/plan/search/budget.ts";
import { Random } from "../pwa/src/plan/search/random.ts";
import { problemFromBuilds } from "../pwa/src/plan/tasks/from_builds.ts";
import type { Stretch } from "../pwa/src/plan/tasks/hours.ts";
import type { Pace, PresentedPlan, Problem } from "../pwa/src/wire.gen.ts";

/** When somebody looks: after so many happenings, at a moment in ms. */
type Look = readonly [happenings: number, now: number];

/** The problem and its tasks at each look, in a time zone. written: all that was recorded. */
export function problemsAt(written: readonly Raw[], looks: readonly Look[], zone: string): readonly unknown[] {
  return atLooks(written, looks, zone, ({ builds, hours, clamps, now, fixtures, finishingRoom, gone, workers }) => {
    const { problem, tasks } = problemFromBuilds(builds, hours, clamps, now, 1, fixtures, finishingRoom, gone, workers);
    return { problem, tasks: [...tasks.values()].map((task) => ({ ...task, operation: task.operation.id })) };
  });
}

/**
 * The plan at each look, in a time zone, of so many schedules tried. told: by look, the plan to go on from, null for
 * none. pace: the shop's.
 */
export function plansAt(
  written: readonly Raw[],
  looks: readonly Look[],
  told: readonly (PresentedPlan | null)[],
  zone: string,
  pace: Pace,
  count: number,
): readonly unknown[] {
  return atLooks(written, looks, zone, (asked, n) => {
    const last = told[n] ?? null;
    const before = last && keptPlan(last, asked.now);
    const find = (problem: Problem) => bestPlans(problem, tries(count), new Random(1), before);
    const { plan, tasks } = advise({ ...asked, pace }, find);
    return { plan, tasks: [...tasks.keys()] };
  });
}

/** What is asked for at each look, as the worker makes it of what it was sent, and what `answer` makes of that. */
function atLooks(
  written: readonly Raw[],
  looks: readonly Look[],
  zone: string,
  answer: (asked: Asked, n: number) => unknown,
): readonly unknown[] {
  return inZone(zone, () => {
    const loaded = new LoadedBuilds();
    const builds = [...new Set(written.map(({ build }) => build))];
    let known = 0;
    return looks.map(([happenings, now], n) => {
      loaded.add(written.slice(known, happenings));
      known = happenings;
      const views = builds.flatMap((build) => loaded.view(build) ?? []).reverse();
      const question = structuredClone(planQuestion(views, loaded.shop(), now));
      return answer(askedOf(question, new Map(views.map(({ id, sheet }) => [id, sheet]))), n);
    });
  });
}

/** Working hours from a moment on, as the page reads them, in a time zone. hours: the shop's setting. */
export function stretchesIn(
  zone: string,
  hours: unknown,
  now: number,
  minutes: number,
  closed: readonly DaysOff[],
): readonly Stretch[] {
  return inZone(zone, () => stretches(weekOf(hours), now, minutes, closed));
}

/** The answer of `work` on a machine that stands in this time zone. */
function inZone<Answer>(zone: string, work: () => Answer): Answer {
  const { TZ } = process.env;
  process.env.TZ = zone;
  try {
    return work();
  } finally {
    if (TZ === undefined) delete process.env.TZ;
    else process.env.TZ = TZ;
  }
}
