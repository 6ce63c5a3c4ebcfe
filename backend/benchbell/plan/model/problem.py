"""The problem a plan answers, and the plan: what is to be done, by whose hands, on what, and when.

All times are whole minutes from one origin. Nothing here knows recipes, builds or the day of the week:
`plan/tasks/from_builds.py` makes a problem from sheets and benches, `plan/model/check.py` judges a plan by these
rules alone.

The rules. A pair of hands does one operation at a time and works only inside windows. Attended work is not broken
off at the end of a window unless the operation is breakable. Setting a station up is attended, comes right before
its operation on the same day's window, and may be done before the parts are ready. A station does one operation at
a time, its unattended run included. Clamps are taken when one operation begins and given back when another ends.
"""

from msgspec import Struct


class Window(Struct, frozen=True):
    """A stretch in which hands work: from `start` to `end`, the end not included."""

    start: int
    end: int


class Station(Struct, frozen=True):
    """A machine or place, and minutes to change over: minutes[from][to], by setup; 0 from one to itself.

    standing: the setup it has at the beginning, "" when none. From "" the minutes stand under "".
    """

    id: str
    standing: str = ""
    minutes: dict[str, dict[str, int]] = {}


class Op(Struct, frozen=True):
    """One thing to do.

    minutes: attended. runs: unattended minutes on the station right after. station, setup: "" for none; an
    operation on a station without a setup leaves the standing one. ready: begins no sooner than this.
    by: should begin no later than this; minutes past it count as overrun; None without such a limit.
    breakable: may be left at closing time and gone on with. begun: in hand already, so it comes first;
    minutes are then what is left. piece, due, weight: whose finish it counts towards; due None when nobody waits.
    """

    id: str
    minutes: int
    runs: int = 0
    station: str = ""
    setup: str = ""
    ready: int = 0
    breakable: bool = False
    begun: bool = False
    piece: str = ""
    due: int | None = None
    weight: int = 1
    by: int | None = None


class Link(Struct, frozen=True):
    """`after` begins (its work, not its setting up) at least `lag` minutes after the end of `before`, run included.

    most: and at most so many minutes after it; None without such a limit.
    """

    before: str
    after: str
    lag: int = 0
    most: int | None = None


class Hold(Struct, frozen=True):
    """`count` clamps of `kind` are taken when `take` begins and given back when `give` has been done.

    take "": they are in use from the beginning.
    """

    kind: str
    count: int
    take: str
    give: str


class Problem(Struct, frozen=True):
    """Everything that is to be planned from minute `start` on. clamps: by kind, how many the shop has."""

    start: int
    windows: tuple[Window, ...]
    stations: tuple[Station, ...]
    clamps: dict[str, int]
    ops: tuple[Op, ...]
    links: tuple[Link, ...] = ()
    holds: tuple[Hold, ...] = ()
    hands: int = 1


class Placed(Struct, frozen=True):
    """When an operation is done: setting up from `setup`, work from `start` to `end`, unattended until `free`."""

    op: str
    setup: int
    start: int
    end: int
    free: int


class Plan(Struct, frozen=True):
    """Operations in the order in which hands take them up.

    finish: end of the last one, its run included. changes: how often a station's setup is changed.
    overrun: minutes by which limits (`Link.most`, `Op.by`) are passed, in all. late: weighted minutes after due.
    bound: no plan can finish sooner. A plan is better by least (overrun, late, finish, changes).
    """

    placed: tuple[Placed, ...]
    finish: int
    changes: int
    overrun: int = 0
    late: int = 0
    bound: int = 0
