"""How many clamps a glue-up needs, and whether its glue stays open long enough."""

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
NEWTONS_PER_LBF = 4.4482216152605
PSI_PER_N_PER_MM2 = 145.038


class Clamp(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A kind of clamp. least_n, most_n: force when tightened by hand, N. head_mm: width of its head along a joint."""

    id: str
    title: str
    also: tuple[str, ...] = ()
    least_n: float
    most_n: float
    head_mm: float
    grade: Grade
    source: str


class ClampCount(Struct, frozen=True):
    """How many clamps a joint needs: the greater of what force and spacing need.

    force_n: in newtons. spacing_mm: the greatest distance between neighbours.
    """

    count: int
    by_force: int
    by_spacing: int
    pressure_n_per_mm2: float
    force_n: float
    spacing_mm: float


class Budget(Struct, frozen=True):
    """A glue-up compared with its glue's times, in minutes. over_minutes: too long by; 0 when it fits."""

    open_minutes: float
    assembly_minutes: float
    over_minutes: float


@cache
def clamps() -> dict[str, Clamp]:
    """All kinds of clamp by id."""
    return read("clamps", Clamp)


def clamp_named(name: str) -> Clamp:
    """The clamp of that id. Raises UnknownName when there is none."""
    return named(clamps(), "clamp", name)


def pressure_n_per_mm2(wood: Species) -> float:
    """Usual clamp pressure for a wood in N/mm2 (MPa): from 0.7 for light woods to 1.7 for heavy ones.

    Small, flat, well-planed faces need less; epoxy needs contact pressure only.
    Raises OutsideValidity when the wood's density is unknown. Source: see LIGHT, HEAVY.
    """
    (light, low), (heavy, high) = LIGHT, HEAVY
    share = (density_kg_per_m3(wood) - light) / (heavy - light)
    return low + min(1.0, max(0.0, share)) * (high - low)


def spacing_mm(head_mm: float, depth_mm: float) -> float:
    """The greatest distance in mm between neighbouring clamps whose pressure meets at the glue line.

    Pressure spreads at 45 degrees from the head (common practice). depth_mm: from head or caul to the glue line.
    """
    return head_mm + 2 * depth_mm


def clamp_count(length_mm: float, area_mm2: float, depth_mm: float, pressure: float, clamp: Clamp) -> ClampCount:
    """How many clamps a joint needs. depth_mm: from head or caul to the glue line. pressure: N/mm2.

    Each clamp counts with its least force. Raises Refused when a size or the pressure is not above 0.
    """
    if not (length_mm > 0 and area_mm2 > 0 and depth_mm >= 0 and pressure > 0):
        raise Refused(
            f"A joint cannot be {length_mm:g} mm long with {area_mm2:g} mm² of glue, {depth_mm:g} mm from its clamps.",
            "Give sizes above zero.",
        )
    force = pressure * area_mm2
    apart = spacing_mm(clamp.head_mm, depth_mm)
    by_force, by_spacing = ceil(force / clamp.least_n), ceil(length_mm / apart)
    return ClampCount(max(by_force, by_spacing), by_force, by_spacing, pressure, force, apart)


def budget(spread_minutes: float, clamp_up_minutes: float, glue: Glue, celsius: float, humidity: float) -> Budget:
    """Whether spreading ends within the open time, and clamping up within the assembly time; both from first spread.

    Raises TooCold when the air is too cold for this glue, OutsideValidity when no figure holds in it.
    """
    stays_open = open_minutes(glue, celsius, humidity)
    assembly = assembly_minutes(glue, celsius, humidity)
    over = max(0.0, spread_minutes - stays_open, spread_minutes + clamp_up_minutes - assembly)
    return Budget(stays_open, assembly, over)
