"""A plan for reading."""

from datetime import datetime

import pytest
from benchbell.commands.plan_lines import plan_lines, step_lines
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from msgspec.structs import replace


def moment(day, hour, minute=0):
    """In ms, in December 2026; the 1st is a Tuesday."""
    return int(datetime(2026, 12, day, hour, minute).astimezone().timestamp() * 1000)


STEP = PlannedTask(
    build="stool",
    operation="A/rip",
    act="work",
    piece="A",
    title="Rip",
    station="table saw",
    setup="",
    changes=False,
    setup_at=moment(1, 14),
    start=moment(1, 14),
    end=moment(1, 15),
    free=moment(1, 15),
    clamps={},
    slack_ms=0,
    reason="“Plane, A” waits for it.",
)


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0, ""),
        (2, ""),
        (9, ""),
        (18, " May be left until Wed 08:00."),
        (6 * 24, " May be left until Mon 7 Dec 14:00."),
    ],
)
def test_only_what_may_be_left_for_another_day_says_so(hours, said):
    waits = replace(STEP, slack_ms=hours * 3_600_000)

    assert list(step_lines(waits, several=False)) == [
        "  14:00 to 15:00  Rip (piece A, table saw)",
        f"               “Plane, A” waits for it.{said}",
    ]


def test_for_reading_waits_that_become_too_long_stand_at_the_top():
    nothing = PresentedPlan(0, 0, (), (), (), (), (), finish=0, changes=1, bound=0)

    assert len(list(plan_lines(nothing))) == 1
    assert list(plan_lines(replace(nothing, overrun_ms=90 * 60_000)))[1] == (
        "Some waits are longer than the recipe allows: 1 h 30 min too long in total."
    )
