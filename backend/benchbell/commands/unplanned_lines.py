"""What of a plan cannot be planned, in words: each cause once, and all that it holds up."""

from collections.abc import Iterable, Sequence

from benchbell.commands.plan_names import Names
from benchbell.plan.tasks.task import Unplanned


def unfinished_lines(unplanned: Sequence[Unplanned], names: Names) -> Iterable[str]:
    """One line for each build of which something cannot be planned: why it is not done. It has no forecast."""
    for build in dict.fromkeys(one.build for one in unplanned):
        first = next(one for one in unplanned if one.build == build and not one.after)
        yield f"{names.build(build)}: not done. {because(first, names)}"


def because(cause: Unplanned, names: Names) -> str:
    """Why nothing comes of it, in one sentence; what to do about it stands with the rest at the end."""
    title, reason = names.listed(cause.build, [cause.operation]), cause.reason.partition(". ")[0].rstrip(".")
    return f"{title}: {reason[0].lower()}{reason[1:]}." if title else f"{reason}."


def unplanned_lines(unplanned: Sequence[Unplanned], names: Names) -> Iterable[str]:
    """A paragraph for each cause of each build, with all that waits for it."""
    for build in dict.fromkeys(one.build for one in unplanned):
        of_build = [one for one in unplanned if one.build == build]
        for reason in dict.fromkeys(one.reason for one in of_build if not one.after):
            causes = [one.operation for one in of_build if one.reason == reason]
            what = ", ".join(filter(None, (names.build(build), names.listed(build, causes))))
            waiting = names.listed(build, [one.operation for one in of_build if one.after and one.after in causes])
            so = f" So these are not planned: {waiting}." if waiting else ""
            yield f"\nNot planned: {what}. {reason}{so}"
