"""The plan that stands, as the planner goes on from it. The phone has no other than the one that it was told.

It is the last that was clearly better than the one before it, as it was made then: not what has become of it at each
state since. So whoever was told of it goes on from the same, however long ago that was.
"""

from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Placed, Plan
from benchbell.plan.report.messages import PresentedPlan, StandingPlan
from benchbell.plan.tasks.task import key_of


def standing_of(presented: PresentedPlan) -> StandingPlan:
    """The plan that stands once this one was presented: the one that it keeps to, or else itself."""
    if presented.stands is not None:
        return presented.stands
    starts = {key_of(step.build, step.operation, step.act): step.start for step in presented.steps}
    return StandingPlan(starts, presented.finish)


def kept_plan(presented: PresentedPlan, now: int) -> Plan:
    """The plan that stands, in minutes from `now`, which may be later than it was made: server time in ms.

    Both in whole minutes. An earlier plan is asked for its starts and its finish, and nothing else is in it.
    """
    stands = standing_of(presented)

    def placed(key: str, start: int) -> Placed:
        minute = (start - now) // MINUTE_MS
        return Placed(key, minute, minute, minute, minute)

    return Plan(tuple(placed(*one) for one in stands.starts.items()), (stands.finish - now) // MINUTE_MS, 0)
