"""The plan that stands, as the planner goes on from it. The phone has no other than the one that it was told."""

from benchbell.durations import MINUTE_MS
from benchbell.plan.model.problem import Placed, Plan
from benchbell.plan.report.messages import PresentedPlan
from benchbell.plan.tasks.task import key_of


def kept_plan(presented: PresentedPlan, now: int) -> Plan:
    """The plan that was presented, in minutes from `now`, which may be later than it was made: server time in ms.

    Both in whole minutes. All is there that an earlier plan is asked for: what it was worth then is not.
    """

    def minute(moment: int) -> int:
        return (moment - now) // MINUTE_MS

    placed = (
        Placed(
            key_of(step.build, step.operation, step.act),
            minute(step.setup_at),
            minute(step.start),
            minute(step.end),
            minute(step.free),
        )
        for step in presented.steps
    )
    return Plan(tuple(placed), minute(presented.finish), presented.changes)
