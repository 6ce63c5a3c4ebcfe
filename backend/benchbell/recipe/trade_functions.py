"""The trade's functions in formulas. Each becomes plain arithmetic, which the phone evaluates without a network.

Wood moves in proportion to its width, so that movement is one factor for the shop's year; angles become sines and
tangents. The sources of the figures are in `trade`.
"""

from collections.abc import Sequence

from benchbell.findings import Refused, counted
from benchbell.recipe.dimensions import with_article
from benchbell.recipe.formula import Compiled, Macro, compile_formula, substitute
from benchbell.recipe.measure import ANGLE, LENGTH, NUMBER, Dim
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.trade.movement_gaps import DRAWER_CLEARANCE_MM, PANEL_HOLD_MM, Year, change_over
from benchbell.trade.species import species_named
from benchbell.trade.wood import Cut, emc_percent

CUTS: dict[str, Cut] = {"flat": "flat", "quarter": "quarter", "rift": "rift"}

ANGLES: dict[str, tuple[dict[str, Dim], str]] = {
    "mitre_swing": ({"sides": NUMBER, "slope": ANGLE}, "atan(cos(slope) * tan(180 deg / sides))"),
    "mitre_tilt": ({"sides": NUMBER, "slope": ANGLE}, "asin(sin(slope) * sin(180 deg / sides))"),
    "butt_tilt": (
        {"sides": NUMBER, "slope": ANGLE},
        "asin(min(1, sin(slope)^2 * cos(360 deg / sides) + cos(slope)^2))",
    ),
    "taper": ({"offset": LENGTH, "length": LENGTH}, "atan(offset / length)"),
    "slant": ({"height": LENGTH, "lean": ANGLE}, "height / cos(lean)"),
    "leg_lean": ({"front": ANGLE, "side": ANGLE}, "atan(sqrt(tan(front)^2 + tan(side)^2))"),
    "leg_sight": ({"front": ANGLE, "side": ANGLE}, "atan2(tan(side), tan(front))"),
    "leg_length": (
        {"height": LENGTH, "front": ANGLE, "side": ANGLE},
        "height * sqrt(1 + tan(front)^2 + tan(side)^2)",
    ),
}
"""Functions of angles: their arguments' kinds, and the arithmetic. Slope is from the horizontal, 90 deg upright."""

WOOD: dict[str, tuple[tuple[str, ...], str]] = {
    "movement": (("width",), "width * (narrower + wider)"),
    "swelling": (("width",), "width * wider"),
    "slot": (("from_fixed", "screw"), "screw + from_fixed * (narrower + wider)"),
    "panel_gap": (("width",), "width * wider / 2"),
    "panel_groove": (("width",), f"width * (wider + narrower) / 2 + {PANEL_HOLD_MM} mm"),
    "drawer_gap": (("height",), f"height * wider + {DRAWER_CLEARANCE_MM} mm"),
}
"""Functions of a wood, a cut and lengths. narrower, wider: change over the shop's year as shares of the width."""


def trade_functions(shop: ShopProfile) -> dict[str, Macro]:
    """All trade functions by name. The wood functions depend on the shop's air over the year and raise Refused outside
    the range of the moisture equation."""
    angles: dict[str, Macro] = {name: angle_function(name) for name in ANGLES}
    return angles | {name: wood_function(name, shop) for name in WOOD}


def angle_function(name: str) -> Macro:
    """One function of ANGLES. It raises Refused when its arguments do not fit."""
    kinds, formula = ANGLES[name]

    def macro(arguments: Sequence[Compiled | str]) -> Compiled:
        return substitute(compile_formula(formula, kinds), arguments_by_name(name, kinds, arguments))

    return macro


def wood_function(name: str, shop: ShopProfile) -> Macro:
    """One function of WOOD. It raises Refused when its arguments do not fit or the wood or its movement is unknown."""
    lengths, formula = WOOD[name]
    kinds = dict.fromkeys(lengths, LENGTH)

    def macro(arguments: Sequence[Compiled | str]) -> Compiled:
        if len(arguments) < 2 or not isinstance(arguments[0], str) or str(arguments[1]) not in CUTS:
            example = f'{name}("white oak", "flat", {", ".join(lengths)})'
            raise Refused(f"{name} needs a wood and its cut first.", f"Write {example}.")
        wood = species_named(arguments[0])
        change = change_over(wood, CUTS[str(arguments[1])], 1.0, year_of(shop))
        by_name = arguments_by_name(name, kinds, arguments[2:])
        shares = {"narrower": Compiled((change.narrower_mm,), NUMBER), "wider": Compiled((change.wider_mm,), NUMBER)}
        return substitute(compile_formula(formula, kinds | dict.fromkeys(shares, NUMBER)), by_name | shares)

    return macro


def year_of(shop: ShopProfile) -> Year:
    """The wood's moisture contents over a year in the shop's air, at its usual temperature.

    Raises OutsideValidity when the air is outside the range of the moisture equation.
    """
    return Year(
        emc_percent(shop.celsius, shop.humidity),
        emc_percent(shop.celsius, shop.least_humidity),
        emc_percent(shop.celsius, shop.most_humidity),
    )


def arguments_by_name(name: str, kinds: dict[str, Dim], arguments: Sequence[Compiled | str]) -> dict[str, Compiled]:
    """The arguments by name. Raises Refused when their number or a kind is wrong."""
    formulas = [argument for argument in arguments if isinstance(argument, Compiled)]
    if len(formulas) != len(kinds) or len(formulas) != len(arguments):
        needed = counted(len(kinds), "size")
        raise Refused(f"{name} needs {needed}, but has {len(arguments)}.", f"Give it {', '.join(kinds)}.")
    for (word, kind), argument in zip(kinds.items(), formulas, strict=True):
        if argument.dim != kind:
            raise Refused(f"{name}: {word} is {with_article(argument.dim)}.", f"Give {with_article(kind)}.")
    return dict(zip(kinds, formulas, strict=True))
