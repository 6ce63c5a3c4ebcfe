"""Stations: machines and places to work, with the least size of parts usually worked there."""

from functools import cache
from typing import Literal

from msgspec import Struct

from benchbell.trade.tables import Grade, named, read


class Station(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A machine or a place to work.

    least_*_mm: of parts usually worked there without a jig; None when there is no usual limit.
    least_rip_mm: thinnest strip usually ripped off without a jig; None when there is no usual limit.
    most_width_mm: of what usually fits through it; None when there is no usual limit.
    planes: whether it takes a surface down, so that a glued panel must have rested first.
    has_setup: whether it keeps a setting that other parts may still need.
    stop_minutes: to set it for work that names no setup; 0 where such work leaves it as it stands.
    throws_dust: whether work there spoils a wet coat in the same room.
    cautions: ids of the cautions for every operation there.
    """

    id: str
    title: str
    also: tuple[str, ...] = ()
    kind: Literal["machine", "place"]
    has_setup: bool
    stop_minutes: int = 0
    throws_dust: bool = False
    least_length_mm: float | None = None
    least_width_mm: float | None = None
    least_thickness_mm: float | None = None
    least_rip_mm: float | None = None
    most_width_mm: float | None = None
    planes: bool = False
    cautions: tuple[str, ...]
    grade: Grade
    source: str


class TooSmall(Struct, frozen=True):
    """One measure of a part that is below the station's usual least size."""

    measure: Literal["length", "width", "thickness"]
    is_mm: float
    least_mm: float


@cache
def stations() -> dict[str, Station]:
    """All stations by id."""
    return read("stations", Station)


def station_named(name: str) -> Station:
    """The station of that id. Raises UnknownName when there is none."""
    return named(stations(), "station", name)


TOLERANCE_MM = 1e-6
"""Of sums of binary fractions."""

ROUND_TWIN = 300 / 304.8
"""Of a least size that is a round figure in inches, its round twin in mm: 12 in is 300 mm in a metric shop."""


def too_small(station: Station, length_mm: float, width_mm: float, thickness_mm: float) -> tuple[TooSmall, ...]:
    """Each measure of a part that is below the station's usual least size, and below the round twin of that."""
    measures = (
        TooSmall("length", length_mm, station.least_length_mm or 0),
        TooSmall("width", width_mm, station.least_width_mm or 0),
        TooSmall("thickness", thickness_mm, station.least_thickness_mm or 0),
    )
    return tuple(measure for measure in measures if measure.is_mm < measure.least_mm * ROUND_TWIN - TOLERANCE_MM)
