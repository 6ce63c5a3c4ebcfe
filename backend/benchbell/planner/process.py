"""The planner in a process of its own, so that thinking never holds up a sync.

Reads questions from stdin and writes answers to stdout, each a length in four bytes and then msgpack; ends with its
stdin. Started by planner/client.py as `python -m benchbell.planner.process`.
"""

import os
import sys
import traceback
from functools import lru_cache, partial
from typing import BinaryIO

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from benchbell.findings import Refused
from benchbell.plan.advise import PlanRequest, advise
from benchbell.plan.exact.solver import polish
from benchbell.plan.model.problem import Plan, Problem
from benchbell.plan.odds.pace import Pace, learned
from benchbell.plan.odds.timings import Timing
from benchbell.plan.planner import best_plans
from benchbell.plan.report.messages import Difference, PresentedPlan, WhatIf
from benchbell.plan.report.what_if import difference, with_clamps, with_glues
from benchbell.plan.search.budget import tries, tries_for
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.plan.tasks.task import OpenBuild, Unplanned, not_planned
from benchbell.planner.days_off import DaysOff
from benchbell.planner.gone import open_minutes_gone
from benchbell.planner.people import Person, workers_of
from benchbell.planner.shop_hours import DAYS, Week, moment_text, read_hours, stretches, zone_named
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.unfit_air import Air

SEED = 1
"""The same bench gives the same plan."""

GENTLE = 10
"""How much the planner stands back for the server on a small computer, as `nice` counts."""


class PlannerQuestion(Struct, frozen=True):
    """What is open, and for what shop. before: the plan that stands, in minutes from `now`.

    what: something to change in thought. prove_s: seconds for which an exact solver is to think on. Fixtures and
    finishing room are those of `shop`.
    closed: dates on which the shop is. people: who works here; without any, one pair of hands that may do everything.
    timings: what the log says of how long operations took. unplanned: builds that failed before they got here.
    air: as last read at the bench, None where that is too old.
    """

    builds: tuple[OpenBuild, ...]
    week: Week
    zone: str
    clamps: dict[str, int]
    now: int
    shop: ShopProfile
    timings: tuple[Timing, ...] = ()
    before: Plan | None = None
    what: WhatIf | None = None
    prove_s: float = 0
    air: Air | None = None
    unplanned: tuple[Unplanned, ...] = ()
    closed: tuple[DaysOff, ...] = ()
    people: tuple[Person, ...] = ()


class PlannerAnswer(Struct, frozen=True):
    """report: the plan as presented. difference: for a what-if. refusal: why not, and a next step.

    stays: the plan is the question's `before` as it is now.
    """

    report: PresentedPlan | None = None
    difference: Difference | None = None
    refusal: tuple[str, str] | None = None
    stays: bool = False


def answer(question: PlannerQuestion) -> PlannerAnswer:
    """Think the question over. A build on which the planner fails is left out, and named as not planned."""
    try:
        return thought(question)
    except Refused as error:
        return PlannerAnswer(refusal=(error.what, error.next_step))
    except Exception:
        able = without_failing(question)
        if len(able.builds) == len(question.builds):
            raise
        traceback.print_exc()  # into the server's log
        return answer(able)


def without_failing(question: PlannerQuestion) -> PlannerQuestion:
    """The question without the builds that make no problem even alone; those are named in `unplanned`."""
    asked = asked_of(question)
    failing = []
    for build in question.builds:
        try:
            problem_from_builds([build], asked.hours, asked.clamps, asked.now, fixtures=asked.fixtures)
        except Exception:
            failing.append(build.id)
    able = tuple(build for build in question.builds if build.id not in failing)
    return replace(question, builds=able, unplanned=(*question.unplanned, *map(not_planned, failing)))


def thought(question: PlannerQuestion) -> PlannerAnswer:
    """The answer. Raises Refused, and whatever a build brings that cannot be worked out."""
    if question.what is not None:
        return what_if(question, question.what)
    presented, _, stays = advise(asked_of(question), partial(thought_over, question))
    return PlannerAnswer(named_unplanned(presented, question), stays=stays and keeps(question))


def keeps(question: PlannerQuestion) -> bool:
    """Whether the first of the plans is the one that stands. Of several people's it may be a better one."""
    return question.before is not None and len(question.people) < 2 and question.prove_s <= 0


def named_unplanned(presented: PresentedPlan, question: PlannerQuestion) -> PresentedPlan:
    """The plan that also names the builds that failed."""
    return replace(presented, unplanned=(*question.unplanned, *presented.unplanned))


def what_if(question: PlannerQuestion, what: WhatIf) -> PlannerAnswer:
    """The plan that stands, or a better one found on the way, and how the changed shop's differs from it.

    The changed shop's is the better of two: the standing one gone on from, so that more clamps never seem to cost a
    day, and a new one, for an order that the standing one hides.
    """
    asked = asked_of(question)
    on = partial(thought_over, question)
    without_last = partial(thought_over, replace(question, before=None))
    before, _, stays = advise(asked, on)
    changed = replace(
        asked_of(with_other_hours(question, what)),
        builds=with_glues(question.builds, what.glue, question.shop),
        clamps=with_clamps(question.clamps, what.clamps),
        hands=what.hands,
    )
    after = min((advise(changed, think)[0] for think in (on, without_last)), key=worth)
    before = named_unplanned(before, question)
    told = difference(before, after, what, lambda ms: asked.say(ms, asked.now))
    return PlannerAnswer(before, told, stays=stays and keeps(question))


def worth(plan: PresentedPlan) -> tuple[int, int, int, int]:
    """What plans are judged by, less is better, as the search does."""
    return plan.overrun_ms, plan.late_ms, plan.finish, plan.changes


def with_other_hours(question: PlannerQuestion, what: WhatIf) -> PlannerQuestion:
    """The question for other hours, everybody's, and for more people: those who are more may do everything."""
    week = changed_week(question.week, what)
    people = tuple(replace(one, week=one.week and changed_week(one.week, what)) for one in question.people)
    more = (Person("") for _ in range(what.hands - len(people)))
    return replace(question, week=week, people=(*people, *more) if people else ())


def changed_week(week: Week, what: WhatIf) -> Week:
    """The week with other hours, and with Saturday worked. Raises Refused where the hours are none."""
    week = read_hours(hours_on(week, what.hours)) if what.hours else week
    return (*week[:5], week[4], week[6]) if what.saturday else week


def hours_on(week: Week, hours: str) -> dict[str, str]:
    """Other hours on the days on which the shop is open."""
    return {day: hours for day, spans in zip(DAYS, week, strict=True) if spans}


@lru_cache(maxsize=1)
def pace_of(timings: tuple[Timing, ...]) -> Pace:
    """The shop's pace, learned again only when something more was timed."""
    return learned(timings)


def asked_of(question: PlannerQuestion) -> PlanRequest:
    """The question as the planning room wants it."""
    zone = zone_named(question.zone)
    week, closed, now = question.week, question.closed, question.now
    return PlanRequest(
        builds=question.builds,
        hours=partial(stretches, week, zone, now, closed=closed),
        clamps=question.clamps,
        now=now,
        say=lambda ms, at: moment_text(ms, at, zone),
        pace=pace_of(question.timings),
        fixtures=question.shop.fixtures,
        air=question.air,
        finishing_room=question.shop.finishing_room,
        gone=partial(open_minutes_gone, partial(stretches, week, zone, closed=closed), now),
        workers=workers_of(question.people, week, closed, question.zone, now),
    )


def thought_over(question: PlannerQuestion, problem: Problem) -> list[Plan]:
    """The best plans of so many tries, the one that stands before all others."""
    count, before = tries_for(len(problem.ops)), question.before
    if before is None and problem.hands == 1:  # gone on from at once: otherwise the next plan would be another
        before = best_plans(problem, tries(count), Random(SEED))[0]
    plans = best_plans(problem, tries(count), Random(SEED), before)
    if question.prove_s <= 0:
        return plans
    better, bound = polish(problem, plans[0], question.prove_s, workers=1)
    return [replace(better, bound=bound)]


def listen(questions: BinaryIO, answers: BinaryIO) -> None:
    """PlannerQuestion by question until there are no more."""
    while len(head := questions.read(4)) == 4:
        question = msgspec.msgpack.decode(questions.read(int.from_bytes(head, "big")), type=PlannerQuestion)
        body = msgspec.msgpack.encode(answer(question))
        answers.write(len(body).to_bytes(4, "big") + body)
        answers.flush()


if __name__ == "__main__":
    os.nice(GENTLE)
    listen(sys.stdin.buffer, sys.stdout.buffer)
