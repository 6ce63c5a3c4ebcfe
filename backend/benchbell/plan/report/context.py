"""A plan, with everything that its reasons depend on."""

from collections.abc import Callable, Mapping

from msgspec import Struct

from benchbell.plan.report.no_day_to_spare import NoDay
from benchbell.plan.report.timeline import Timeline
from benchbell.plan.report.what_keeps import Kept
from benchbell.plan.tasks.task import Task

Say = Callable[[int, int], str]
"""Words for a minute of the problem, as said at another minute: "14:10" on the same day, else "Fri 08:00"."""


class Context(Struct, frozen=True):
    """A plan, with everything that a reason depends on. Times in minutes, by operation of the problem.

    names: of builds, by id. fixtures: titles, by kind of the problem's holds. gates: what a task waits for that nobody
    can plan, as a sentence. waiting: by what gives clamps or a fixture back, what waits for these. no_day: the first of
    each build and day that cannot be left until the next. set_now: whose station stands right, and will not again.
    first_to_leave: see there. kept: what keeps it. running: by task that waits for a clock that runs, see
    `running_waits`.
    """

    t: Timeline
    tasks: Mapping[str, Task]
    names: Mapping[str, str]
    say: Say
    slack: Mapping[str, int]
    fixtures: Mapping[str, str]
    gates: Mapping[str, str]
    waiting: Mapping[str, str]
    no_day: Mapping[str, NoDay]
    set_now: frozenset[str]
    first_to_leave: frozenset[str]
    kept: Mapping[str, Kept]
    running: Mapping[str, Task]
