"""The planning problem and its answer: operations, precedence, stations, clamps and hours in; a plan out.

All times are whole minutes from one origin. Nothing here knows recipes, builds or days of the week:
`plan/tasks/from_builds.py` makes a problem from open builds, and `plan/model/check.py` judges a plan by the rules
below and nothing else.

The rules:

- A pair of hands does one operation at a time, and only inside the windows of working hours.
- Where hands differ, each operation is one hand's, its setting up included: of one that may use its station, and only
  while that one is there. What takes no time needs somebody there, who may be busy.
- Attended work is not interrupted by the end of a window unless the operation is breakable.
- Setting up a station is attended work. It comes directly before its operation, inside the same window, and may be
  done before the operation is ready.
- A station does one operation at a time, including the unattended run that follows the attended work.
- Clamps are taken when one operation starts and given back when another one ends, or the same one. Fixtures (forms,
  presses, jigs) are held in the same way: each is a kind of its own.
- Operations that are already begun come before all others, except those that they themselves wait for.
"""

from msgspec import Struct

Objective = tuple[int, int, int, int, int]
"""What a plan is judged by, compared in this order, less is better: overrun, late, day, finish and craft together,
changes; see `Plan`. The day comes first, so that no fault of craft avoided ever costs a day."""

NIGHT = 240
"""Minutes: a window that opens so long after the last one closed, or longer, begins another day. Common practice, no
source."""


FIXTURE = "fixture "
"""What the kind of a fixture begins with, in `Problem.clamps` and `Hold.kind`; all other kinds are of clamps."""


class Window(Struct, frozen=True):
    """A stretch of working hours [start, end)."""

    start: int
    end: int


class Station(Struct, frozen=True):
    """A machine or bench with sequence-dependent setups. minutes[from][to]: to change one setup to another.

    standing: the setup it has when the plan starts, "" for none; minutes[""] then holds the minutes from none. near:
    coming back to it is no fault of craft, as to one's own bench.
    """

    id: str
    standing: str = ""
    minutes: dict[str, dict[str, int]] = {}
    near: bool = False


class Op(Struct, frozen=True):
    """One operation.

    minutes: attended. runs: unattended minutes on the station directly after. station, setup: "" for none; an
    operation on a station without a setup leaves the standing one as it is. ready: release time, the earliest start.
    by: the latest start; minutes past it count as overrun; None without one. breakable: may be interrupted by the
    end of a window and resumed in the next. begun: already begun, and minutes are what is left of it.
    piece: operations with the same piece share a due time. due: when the piece should be done, None if nobody waits.
    weight: weight of the piece's tardiness. dusty: throws dust while it is worked on. wet: minutes after its attended
    end in which dust spoils it. fiddly: must not be hurried, as a glue-up.
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
    dusty: bool = False
    wet: int = 0
    fiddly: bool = False


class Link(Struct, frozen=True):
    """A precedence with time lags, from the end of `before` (its run included) to the start of `after`.

    lag: minimal time lag. most: maximal time lag, None without one; minutes past it count as overrun. The start is
    that of the work: setting up for `after` may come earlier. wanted: time lag that is better not exceeded, None
    without one; a later start is one fault of craft. wanted_open: beyond `lag`, only minutes in working hours count.
    """

    before: str
    after: str
    lag: int = 0
    most: int | None = None
    wanted: int | None = None
    wanted_open: bool = False


class Hold(Struct, frozen=True):
    """`count` clamps of `kind`, or fixtures, in use from the start of operation `take` to the end of operation `give`.

    take "": in use when the plan starts. give "": never given back.
    """

    kind: str
    count: int
    take: str
    give: str


class Craft(Struct, frozen=True):
    """What faults of craft cost: the minutes of finish that a maker would give up to be without one.

    torn: a piece of less than `least_piece` minutes, in which a breakable operation is left at closing or ends after
    it. dust: a dusty operation near something wet. late_act: a lag longer than wanted. fiddly: fiddly work that ends
    within the `last_minutes` before closing. visit: coming back to a station after work at others; work
    without a station, or at one that is near, does not count. A closing is
    one after which the shop stays closed for at least `long_break` minutes: nobody minds a meal in between.
    All common practice, no source.
    """

    torn: int = 30
    least_piece: int = 15
    dust: int = 30
    late_act: int = 30
    fiddly: int = 30
    last_minutes: int = 15
    visit: int = 5
    long_break: int = 120


class Hand(Struct, frozen=True):
    """One pair of hands. name: whose. unable: stations that it may not use. away: when it is not there."""

    name: str
    unable: tuple[str, ...] = ()
    away: tuple[Window, ...] = ()


class Problem(Struct, frozen=True):
    """What is to be planned from minute `start` on. hands: pairs of hands.

    clamps: how many the shop has, by kind, and of its fixtures. crew: each pair of hands; empty where all are alike.
    craft: what faults of craft cost, None where none of them counts. here: the station where work was last done, "" for
    none. wet_until: before it, dust spoils something that was done before the plan.
    """

    start: int
    windows: tuple[Window, ...]
    stations: tuple[Station, ...]
    clamps: dict[str, int]
    ops: tuple[Op, ...]
    links: tuple[Link, ...] = ()
    holds: tuple[Hold, ...] = ()
    hands: int = 1
    craft: Craft | None = None
    here: str = ""
    wet_until: int = 0
    crew: tuple[Hand, ...] = ()


class Placed(Struct, frozen=True):
    """When an operation is done: setting up from `setup`, work from `start` to `end`, unattended run until `free`.

    hand: whose it is, as a place in `Problem.crew`; None where all hands are alike.
    """

    op: str
    setup: int
    start: int
    end: int
    free: int
    hand: int | None = None


class Plan(Struct, frozen=True):
    """Operations in the order in which they are taken up, each with its times.

    finish: end of the last operation, its run included. changes: how often a station's setup is changed.
    overrun: minutes by which `Link.most` and `Op.by` are exceeded, summed. late: weighted minutes past due, summed.
    bound: a lower bound on the finish of any plan, whatever its faults of craft. craft: what these cost, in minutes.
    day: of the finish, counted from 0; another one begins at each window before it that opens NIGHT minutes or more
    after the last one closed.
    """

    placed: tuple[Placed, ...]
    finish: int
    changes: int
    overrun: int = 0
    late: int = 0
    bound: int = 0
    craft: int = 0
    day: int = 0

    @property
    def objective(self) -> Objective:
        """What the plan is judged by."""
        return self.overrun, self.late, self.day, self.finish + self.craft, self.changes
