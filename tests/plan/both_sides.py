"""What both halves of a planner's twin say, compared."""

import msgspec
from twins import ask_the_page


def as_told(answer):
    """What Python says, as it comes back from JSON."""
    return msgspec.json.decode(msgspec.json.encode(answer))


def same(ask, here, *given):
    """What both sides say, which is the same."""
    here = as_told(here)

    assert ask_the_page(ask, *given) == {"answer": here}
    return here


def schedule_told(schedule):
    """What counts of a schedule, as the page's search tells it; None where there is none."""
    return schedule and [schedule.order, schedule.start, schedule.end, schedule.finish, schedule.changes]
