/** What the planner is to plan, from a question. Twin of `asked_of` in planner/process.py. */
import { countsIn } from "../bench/shop.ts";
import type { Counts } from "../plan/tasks/from_builds.ts";
import type { Calendar, Worker } from "../plan/tasks/hours.ts";
import type { Gone } from "../plan/tasks/minutes.ts";
import type { OpenBuild } from "../plan/tasks/task.ts";
import type { Sheet } from "../wire.gen.ts";
import { daysOffIn } from "./days_off.ts";
import { openMinutesGone } from "./gone.ts";
import { peopleIn, workersOf } from "./people.ts";
import type { PlanQuestion } from "./plan_question.ts";
import { stretches, weekOf } from "./shop_hours.ts";

/**
 * What `problemFromBuilds` is given. clamps: how many the shop has, by kind. now: server time in ms.
 *
 * fixtures: how many the shop has of its own, by name. finishingRoom: coats dry where no dust gets. workers: who works
 * here; empty for one pair of hands that may do everything, in the shop's hours.
 */
export type Asked = {
  readonly builds: readonly OpenBuild[];
  readonly hours: Calendar;
  readonly clamps: Counts;
  readonly now: number;
  readonly fixtures: Counts;
  readonly finishingRoom: boolean;
  readonly gone: Gone;
  readonly workers: readonly Worker[];
};

/** The question as the planner wants it. sheets: by build; one whose sheet is missing is left out. */
export function askedOf({ builds, settings, now }: PlanQuestion, sheets: ReadonlyMap<string, Sheet>): Asked {
  const [week, closed] = [weekOf(settings.hours), daysOffIn(settings.closed)];
  return {
    builds: builds.flatMap((build) => {
      const sheet = sheets.get(build.id);
      return sheet ? [{ ...build, sheet }] : [];
    }),
    hours: (minutes) => stretches(week, now, minutes, closed),
    clamps: countsIn({ settings }, "clamps"),
    now,
    fixtures: countsIn({ settings }, "fixtures"),
    finishingRoom: settings.finishing_room === true,
    gone: (since, most) => openMinutesGone((from, minutes) => stretches(week, from, minutes, closed), now, since, most),
    workers: workersOf(peopleIn(settings.people), week, closed, now),
  };
}
