"""How much room solid wood needs to move: screw slots, panels in grooves, drawers in openings."""

from msgspec import Struct

from benchbell.trade.species import Species
from benchbell.trade.wood import Cut, movement_mm

# Common practice, no source.
PANEL_HOLD_MM = 5  # what must stay in the groove when the panel is at its narrowest
DRAWER_CLEARANCE_MM = 1  # for running, with the sides at their highest


class Year(Struct, frozen=True):
    """Moisture contents of the wood in percent: now, and at the driest and dampest of the year where it will stand."""

    now_percent: float
    driest_percent: float
    dampest_percent: float


class Change(Struct, frozen=True):
    """How much narrower and wider than now a board gets over the year, in mm, neither negative."""

    narrower_mm: float
    wider_mm: float


class Slot(Struct, frozen=True):
    """A screw slot in the part that stays, such as a batten or a button, in mm.

    length_mm: end to end. Beside the screw as it sits now: away_mm away from the fixed point, towards_mm towards it.
    In a slot in the moving board the two are swapped.
    """

    length_mm: float
    away_mm: float
    towards_mm: float


class PanelPlay(Struct, frozen=True):
    """A solid panel in grooves. gap_mm: gap at the bottom of each groove now. groove_mm: least depth of a groove."""

    change: Change
    gap_mm: float
    groove_mm: float


def change_over(wood: Species, cut: Cut, width_mm: float, year: Year) -> Change:
    """How much narrower and wider a board of that width gets over the year.

    Raises OutsideValidity when movement_mm does.
    """
    dry = movement_mm(wood, cut, width_mm, year.now_percent, year.driest_percent)
    damp = movement_mm(wood, cut, width_mm, year.now_percent, year.dampest_percent)
    return Change(narrower_mm=max(0.0, -dry, -damp), wider_mm=max(0.0, dry, damp))


def slot(wood: Species, cut: Cut, from_fixed_mm: float, screw_mm: float, year: Year) -> Slot:
    """The slot for a screw. from_fixed_mm: across the grain from where the board is fixed. screw_mm: diameter.

    Raises OutsideValidity when movement_mm does.
    """
    change = change_over(wood, cut, from_fixed_mm, year)
    return Slot(screw_mm + change.wider_mm + change.narrower_mm, change.wider_mm, change.narrower_mm)


def panel_play(wood: Species, cut: Cut, width_mm: float, year: Year) -> PanelPlay:
    """Room for a panel of that width in grooves on both sides, free to move from its middle.

    At its widest it does not reach the bottom; at its narrowest 5 mm stay in each groove (common practice).
    Raises OutsideValidity when movement_mm does.
    """
    change = change_over(wood, cut, width_mm, year)
    gap = change.wider_mm / 2
    return PanelPlay(change, gap, gap + change.narrower_mm / 2 + PANEL_HOLD_MM)


def drawer_clearance_mm(wood: Species, cut: Cut, height_mm: float, year: Year) -> float:
    """Gap above a drawer side of that height now, in mm: its swelling, and 1 mm for running (common practice).

    Raises OutsideValidity when movement_mm does.
    """
    return change_over(wood, cut, height_mm, year).wider_mm + DRAWER_CLEARANCE_MM
