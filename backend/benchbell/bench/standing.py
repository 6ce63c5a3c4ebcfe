"""What each station is set to now, over all open builds. Twin: pwa/src/bench/standing.ts.

A setup stands from when it was set up, or work on it began, until something else is done at its station. Where a
station has to be set for it, an operation that names no setup changes it too: for itself, and for the same operation
on other pieces. So it is told apart by its name.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Protocol

from msgspec import Struct

from benchbell.bench.state import Bench
from benchbell.recipe.sheet import Operation, Sheet
from benchbell.trade.stations import stations

WORKED = ("began", "ticked", "finished")
"""Marks that say that hands were at the station."""


class OpenBuild(Protocol):
    """A build that is not finished."""

    @property
    def id(self) -> str:
        """Its name over all builds."""

    @property
    def sheet(self) -> Sheet:
        """What it was compiled to."""

    @property
    def bench(self) -> Bench:
        """Its state."""


class Stands(Struct, frozen=True):
    """What a station is set to. setting: as `setting_of` names it. build: where that was recorded first; ms: when."""

    setting: str
    build: str
    ms: int


class Touch(Struct, frozen=True):
    """Something done at a station. sets: the setting is known from then on; otherwise it was in use until then.

    rank: of two at the same ms, the greater counts as the later one.
    """

    station: str
    setting: str
    build: str
    ms: int
    sets: bool
    rank: int


def setting_of(sheet: Sheet, op: Operation) -> str:
    """The setting's name over all builds; "" where the operation leaves its station as it is.

    Where the recipe names no setup, the same operation on other pieces needs the same.
    """
    if op.setup:
        return setup_setting(sheet, op.setup)
    station = stations().get(op.station)
    return f"{sheet.recipe}||{op.name}{answers(sheet, op.piece)}" if station and station.stop_minutes else ""


def setup_setting(sheet: Sheet, setup: str) -> str:
    """A setup of the recipe, over all builds that were answered alike. A piece with answers of its own has its own."""
    return f"{sheet.recipe}|{setup}{answers(sheet, '')}"


def answers(sheet: Sheet, piece: str) -> str:
    """What was chosen for a piece, "" where nothing was asked: other sizes need other settings."""
    return "".join(f"|{one.by_piece.get(piece, one.value)}" for one in sheet.choices)


def stands_now(builds: Sequence[OpenBuild]) -> dict[str, Stands]:
    """By station, the setting it stands in; without those that stand in none that is known."""
    by_station: dict[str, list[Touch]] = {}
    for build in builds:
        for touch in touches(build):
            by_station.setdefault(touch.station, []).append(touch)
    since = {station: standing_since(found) for station, found in sorted(by_station.items())}
    return {station: Stands(one.setting, one.build, one.ms) for station, one in since.items() if one is not None}


def standing_since(found: Iterable[Touch]) -> Touch | None:
    """Since when the last setting stands; None where something else was done at the station since."""
    last: Touch | None = None
    for touch in sorted(found, key=lambda touch: (touch.ms, touch.rank, touch.setting, touch.build)):
        if last is not None and touch.setting != last.setting:
            last = None
        if touch.sets:
            last = last or touch
    return last


def touches(build: OpenBuild) -> Iterator[Touch]:
    """All that was done at stations in this build."""
    sheet, bench = build.sheet, build.bench
    for op in sheet.operations:
        setting = setting_of(sheet, op)
        marks = bench.operations[op.id].marks
        worked = [marks[kind] for kind in WORKED if kind in marks]
        if setting and worked:
            if "began" in marks:
                yield Touch(op.station, setting, build.id, marks["began"], True, 1)
            yield Touch(op.station, setting, build.id, max(worked), False, 0)
    for station, ms in bench.taken_down.items():
        yield Touch(station, "", build.id, ms, False, 3)
    for station, setup in bench.stations.items():
        yield Touch(station, setup_setting(sheet, setup.setup), build.id, setup.ms, True, 2)
