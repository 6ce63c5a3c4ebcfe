"""The plan as it is told: what the page shows and `benchbell plan --json` prints.

Moments are server time in whole ms; `_ms` are lengths of time.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct

Act = Literal["work", "clamps-off"]
"""A glue-up is two acts of one operation, its clamps coming off being the second."""


class Step(Struct, frozen=True):
    """One act in the plan.

    piece: "" where the build has only one. changes: its station is set anew for it, from `setup_at` to `start`.
    free: when its unattended run on the station is over. clamps: by kind, how many it takes or gives back. slack_ms:
    how much later it may begin without a later finish. reason: why it stands here and not earlier.
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


class Evening(Struct, frozen=True):
    """Before you go home: what can cure overnight if it is begun by `by`. until: when that wait is over."""

    build: str
    operation: str
    title: str
    by: int
    until: int
    reason: str


class Forecast(Struct, frozen=True):
    """When a build will be done: as planned, and from soonest to latest by what the shop's own times tell.

    timed: operations whose real times that range rests on; 0 when it is a guess. due: asked for, or None.
    """

    build: str
    name: str
    finish: int
    soonest: int
    latest: int
    timed: int
    due: int | None


class Unplanned(Struct, frozen=True):
    """What cannot be planned, and why, with what to do."""

    build: str
    operation: str
    reason: str


class PlanTold(Struct, frozen=True):
    """A plan. hours: the stretches [start, end) in which hands work. steps: as hands take them up.

    bound: no plan can finish sooner. overrun_ms: by how much waits outlast their windows; late_ms: past due.
    """

    made_at: int
    start: int
    hours: tuple[tuple[int, int], ...]
    steps: tuple[Step, ...]
    evening: tuple[Evening, ...]
    forecasts: tuple[Forecast, ...]
    unplanned: tuple[Unplanned, ...]
    finish: int
    changes: int
    bound: int
    overrun_ms: int = 0
    late_ms: int = 0


class WhatIf(Struct, frozen=True, forbid_unknown_fields=True):
    """What to change in thought. clamps: by kind, how many more. glue: by glue, the one to take instead.

    hours: "08:00-19:00" in place of the shop's. saturday: hands work on Saturdays as on Fridays. hands: pairs.
    """

    clamps: dict[str, Annotated[int, Meta(ge=-99, le=99)]] = {}
    glue: dict[str, str] = {}
    hours: Annotated[str, Meta(max_length=40)] = ""
    saturday: bool = False
    hands: Annotated[int, Meta(ge=1, le=8)] = 1


class Difference(Struct, frozen=True):
    """What would come of it: the finish then, how much sooner (negative: later), setup changes, in a sentence."""

    finish: int
    sooner_ms: int
    changes: int
    fewer_changes: int
    sentence: str
    forecasts: tuple[Forecast, ...]
