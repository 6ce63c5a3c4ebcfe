/** What the page's planner makes of a shop, from all that was recorded in it. */
import { type BuildView, LoadedBuilds } from "../pwa/src/bench/loaded_builds.ts";
import type { Raw } from "../pwa/src/bench/read.ts";
import type { DaysOff } from "../pwa/src/phone/days_off.ts";
import { planQuestion } from "../pwa/src/phone/plan_question.ts";
import { askedOf } from "../pwa/src/phone/plan_request.ts";
import { stretches, weekOf } from "../pwa/src/phone/shop_hours.ts";
import { problemFromBuilds } from "../pwa/src/plan/tasks/from_builds.ts";
import type { Stretch } from "../pwa/src/plan/tasks/hours.ts";

/** When somebody looks: after so many happenings, at a moment in ms. */
type Look = readonly [happenings: number, now: number];

/** The problem at each look, in a time zone. written: all that was recorded. */
export function problemsAt(written: readonly Raw[], looks: readonly Look[], zone: string): readonly unknown[] {
  return inZone(zone, () => {
    const loaded = new LoadedBuilds();
    const builds = [...new Set(written.map(({ build }) => build))];
    let known = 0;
    return looks.map(([happenings, now]) => {
      loaded.add(written.slice(known, happenings));
      known = happenings;
      return problemAt(
        loaded,
        builds.flatMap((build) => loaded.view(build) ?? []),
        now,
      );
    });
  });
}

/** The problem and its tasks, as the worker makes it of what it was sent. */
function problemAt(loaded: LoadedBuilds, views: readonly BuildView[], now: number): unknown {
  const question = structuredClone(planQuestion([...views].reverse(), loaded.shop(), now));
  const asked = askedOf(question, new Map(views.map(({ id, sheet }) => [id, sheet])));
  const { builds, hours, clamps, fixtures, finishingRoom, gone, workers } = asked;
  const { problem, tasks } = problemFromBuilds(
    builds,
    hours,
    clamps,
    asked.now,
    1,
    fixtures,
    finishingRoom,
    gone,
    workers,
  );
  return { problem, tasks: [...tasks.values()].map((task) => ({ ...task, operation: task.operation.id })) };
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
