"""How many clamps a glue-up wants, and whether its glue stays open for long enough."""

from functools import cache
from math import ceil

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.trade.glue import Glue, assembly_minutes, open_minutes
from benchbell.trade.species import Species, density_kg_per_m3
from benchbell.trade.tables import Grade, named, read

# About 700 kPa for low-density woods to 1700 kPa for the densest: Wood Handbook, FPL-GTR-190, ch. 10, from memory.
# Straight line between the lightest and the heaviest furniture woods, in kg/m3 at 12 %: common practice, no source.
LIGHT, HEAVY = (350.0, 0.7), (800.0, 1.7)


class Clamp(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A kind of clamp. Force when tightened by hand, in newtons; head_mm: width of its head along the joint."""

    id: str
    title: str
    least_n: float
    most_n: float
    head_mm: float
    grade: Grade
    source: str


class ClampCount(Struct, frozen=True):
    """How many clamps, and why: the more of what the force asks for and what the spacing asks for.

    pressure in N/mm2, force_n in newtons, spacing_mm the most between neighbours.
    """

    count: int
    by_force: int
    by_spacing: int
    pressure_n_per_mm2: float
    force_n: float
    spacing_mm: float


class Budget(Struct, frozen=True):
    """A glue-up against its glue's clock, in minutes; over_minutes is 0 when it fits."""

    open_minutes: float
    assembly_minutes: float
    over_minutes: float


@cache
def clamps() -> dict[str, Clamp]:
    """All kinds of clamp by id."""
    return read("clamps", Clamp)


def clamp_named(name: str) -> Clamp:
    """The clamp of that id. Raises UnknownName."""
    return named(clamps(), "clamp", name)


def pressure_n_per_mm2(wood: Species) -> float:
    """Usual clamp pressure for that wood, in N/mm2 (MPa): 0.7 for light woods to 1.7 for heavy ones.

    Small, flat, well-planed faces bond at less; epoxy wants contact pressure only.
    """
    (light, low), (heavy, high) = LIGHT, HEAVY
    share = (density_kg_per_m3(wood) - light) / (heavy - light)
    return low + min(1.0, max(0.0, share)) * (high - low)


def spacing_mm(head_mm: float, depth_mm: float) -> float:
    """The most between neighbouring clamps, so that their pressure meets at the glue line, in mm.

    Pressure fans out at 45 degrees from the head. depth_mm: from head or caul to the glue line.
    """
    return head_mm + 2 * depth_mm


def clamp_count(length_mm: float, area_mm2: float, depth_mm: float, pressure: float, clamp: Clamp) -> ClampCount:
    """Clamps for a joint of that length and glue area. pressure in N/mm2; force at the low end of the clamp's range.

    Raises Refused for a joint of no size.
    """
    if not (length_mm > 0 and area_mm2 > 0 and depth_mm >= 0 and pressure > 0):
        raise Refused(
            f"A joint of {length_mm:g} mm with {area_mm2:g} mm² of glue, {depth_mm:g} mm from its clamps, is none.",
            "Give sizes above zero.",
        )
    force = pressure * area_mm2
    apart = spacing_mm(clamp.head_mm, depth_mm)
    by_force, by_spacing = ceil(force / clamp.least_n), ceil(length_mm / apart)
    return ClampCount(max(by_force, by_spacing), by_force, by_spacing, pressure, force, apart)


def budget(spread_minutes: float, clamp_up_minutes: float, glue: Glue, celsius: float, humidity: float) -> Budget:
    """Whether spreading ends inside the open time, and clamping up inside the assembly time; both from first spread.

    Raises TooCold, OutsideValidity.
    """
    stays_open = open_minutes(glue, celsius, humidity)
    assembly = assembly_minutes(glue, celsius, humidity)
    over = max(0.0, spread_minutes - stays_open, spread_minutes + clamp_up_minutes - assembly)
    return Budget(stays_open, assembly, over)
