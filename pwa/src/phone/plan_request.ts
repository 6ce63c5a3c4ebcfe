/** What the planner is to plan, from a question. Twin of `asked_of` in planner/process.py. */
import { countsIn } from "../bench/shop.ts";
import type { PlanRequest } from "../plan/advise.ts";
import type { Sheet } from "../wire.gen.ts";
import { daysOffIn } from "./days_off.ts";
import { openMinutesGone } from "./gone.ts";
import { peopleIn, workersOf } from "./people.ts";
import type { PlanQuestion } from "./plan_question.ts";
import { stretches, weekOf } from "./shop_hours.ts";

/** What is to be planned, but for the shop's pace, which the server tells beside its plan. */
export type Asked = Omit<PlanRequest, "pace">;

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
