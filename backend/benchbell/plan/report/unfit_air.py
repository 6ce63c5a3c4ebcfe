"""What in a plan is not done in the air of the shop: its times would promise what no glue or finish keeps."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec.structs import replace

from benchbell.plan.report.messages import Evening, PlannedTask, PresentedPlan
from benchbell.plan.tasks.task import OpenBuild
from benchbell.recipe.unfit_air import Air, Unfit, unfit_air

UnfitOperations = Mapping[tuple[str, str], Unfit]
"""By build and operation, why it is not done in this air."""


def unfit_operations(builds: Iterable[OpenBuild], air: Air | None) -> UnfitOperations:
    """The operations that have not begun and are not done in this air; none where nobody read the air."""
    if air is None:
        return {}
    return {
        (build.id, op.id): unfit
        for build in builds
        for op in build.sheet.operations
        if not build.bench.operations[op.id].marks and (unfit := unfit_air(op, build.sheet.figures, air))
    }


def with_unfit(plan: PresentedPlan, unfit: UnfitOperations) -> PresentedPlan:
    """The plan with that reason in place of each such operation's own.

    Of what its glue asks for later, only the first words of it.
    """

    def reason(act: PlannedTask | Evening) -> str:
        found = unfit.get((act.build, act.operation))
        if found is None:
            return act.reason
        again = isinstance(act, PlannedTask) and act.act != "work"
        return f"{found.instead.capitalize()}." if again else found.why

    return replace(
        plan,
        steps=tuple(replace(one, reason=reason(one)) for one in plan.steps),
        evening=tuple(replace(one, reason=reason(one)) for one in plan.evening),
    )


def unfit_lines(unfit: UnfitOperations, listed: Callable[[Sequence[tuple[str, str]]], str]) -> Sequence[str]:
    """What comes before a plan of which some is not done in this air; nothing where all may be.

    listed: builds with an operation to their titles.
    """
    heads = (
        ("not at this temperature", "Warm the shop first; the plan has the times of a warm one."),
        ("not in air so damp", "Dry the air first; the plan has the times of dry air."),
    )
    return [
        f"{kind.capitalize()}: {listed(which)}. {what}"
        for kind, what in heads
        if (which := [key for key, one in unfit.items() if one.instead == kind])
    ]
