"""The presented plan: what the page shows, and what `benchbell plan --json` is made from.

Moments are server time in whole ms; names that end in `_ms` are lengths of time.
"""

from typing import Annotated

from msgspec import Meta, Struct

from benchbell.plan.odds.pace import Pace
from benchbell.plan.tasks.task import Act, Unplanned


class PlannedTask(Struct, frozen=True):
    """One task in the plan.

    piece: "" where the build has only one. changes: its station is set up for it, from `setup_at` to `start`.
    free: when its unattended run on the station is over. clamps: how many it takes or gives back, by kind. slack_ms:
    how much later it may start without a later finish. reason: why it is done then and not earlier. fixtures: how many
    it takes or frees, by title. unclamped: its glue-up takes no clamps. hand: who does it; "" where all
    hands are alike, or there is one pair only.
    """

    build: str
    operation: str
    act: Act
    piece: str
    title: str
    station: str
    setup: str
    changes: bool
    setup_at: int
    start: int
    end: int
    free: int
    clamps: dict[str, int]
    slack_ms: int
    reason: str
    fixtures: dict[str, int] = {}
    unclamped: bool = False
    hand: str = ""


class Evening(Struct, frozen=True):
    """Before you go home: a task whose wait can run overnight if it starts by `by`. until: when that wait is over."""

    build: str
    operation: str
    title: str
    by: int
    until: int
    reason: str


class Forecast(Struct, frozen=True):
    """When a build will be done: as planned, and as sampled with the shop's own pace.

    likely: done by then about half the time, on a day that is. soonest, latest: 8 of 10 times it is done between them,
    9 of 10 times by the latest. timed: how many timed operations this rests on; 0 where nothing was learned yet. due:
    promised for, or None. odds: of ten times, how often it is done when due.
    """

    build: str
    name: str
    finish: int
    soonest: int
    likely: int
    latest: int
    timed: int
    due: int | None
    odds: int | None


class StandingPlan(Struct, frozen=True):
    """An earlier plan that a later one keeps to. starts: by task's key, when it begins. Server time in ms."""

    starts: dict[str, int]
    finish: int


class PresentedPlan(Struct, frozen=True):
    """The plan. hours: stretches of working hours [start, end). steps: in the order in which they are taken up.

    bound: a lower bound on the finish of any plan, whatever its faults of craft. overrun_ms: time past maximal lags and
    latest starts, summed. late_ms: weighted time past due, summed. too_late: the tasks after which something waits too
    long, or that begin too late themselves, by title. pace: of these builds, with which it was made; None where nothing
    was timed yet. stands: the earlier plan that it keeps to; None where it is the one that stands itself.
    """

    made_at: int
    start: int
    hours: tuple[tuple[int, int], ...]
    steps: tuple[PlannedTask, ...]
    evening: tuple[Evening, ...]
    forecasts: tuple[Forecast, ...]
    unplanned: tuple[Unplanned, ...]
    finish: int
    changes: int
    bound: int
    overrun_ms: int = 0
    late_ms: int = 0
    too_late: tuple[str, ...] = ()
    pace: Pace | None = None
    stands: StandingPlan | None = None


class WhatIf(Struct, frozen=True, forbid_unknown_fields=True):
    """What to change, to see what it would bring. clamps: how many more, by kind. glue: a glue to the one in its place.

    hours: "08:00-19:00", in place of the shop's; "" for the shop's. saturday: Saturday has Friday's hours. hands:
    pairs of hands.
    """

    clamps: dict[str, Annotated[int, Meta(ge=-99, le=99)]] = {}
    glue: dict[str, str] = {}
    hours: Annotated[str, Meta(max_length=40)] = ""
    saturday: bool = False
    hands: Annotated[int, Meta(ge=1, le=8)] = 1


class Difference(Struct, frozen=True):
    """What a change would bring: the new finish, how much sooner it is (negative: later), setup changes, a sentence."""

    finish: int
    sooner_ms: int
    changes: int
    fewer_changes: int
    sentence: str
    forecasts: tuple[Forecast, ...]
