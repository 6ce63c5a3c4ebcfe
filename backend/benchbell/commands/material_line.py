"""How much of a stock a build takes, as text."""

from math import floor, log10

from benchbell.recipe.measure import LENGTH, show
from benchbell.recipe.sheet import Sheet
from benchbell.recipe.stock import Material

SQUARE_FEET_PER_M2 = 10.7639
NEARLY_ALL = 0.98
"""Resawing that saves less than the rest of an amount is not worth a word."""

COUNTED = {
    "solid": ", counted as thick as the boards they are planed from",
    "veneer": ", counted with what stands out over the ground",
}
"""By material, how its parts are counted."""


def material_line(row: Material, sheet: Sheet) -> str:
    """One stock of the cut summary on a line."""
    amount = f"{three_figures(row.amount)} {row.unit}"
    if row.unit == "mm":
        amount = show(row.amount, LENGTH, sheet.units)
    elif row.unit == "m²" and sheet.units == "in":
        amount = f"{three_figures(row.amount * SQUARE_FEET_PER_M2)} ft²"
    volume = f" ({three_figures(row.cubic_m)} m³)" if row.material == "solid" else ""
    allowance = f" with {row.allowance_percent:g} % allowance" if row.allowance_percent else ""
    parts = f", {row.parts} part{'s' if row.parts > 1 else ''}" if row.parts else ""
    bought = COUNTED.get(row.material, "")
    resawn = (
        f"; {three_figures(row.resawn)} if thin ones are resawn" if 0 < row.resawn < row.amount * NEARLY_ALL else ""
    )
    return f"{row.stock}: {amount}{volume}{allowance}{parts}{bought}{resawn}"


def three_figures(value: float) -> str:
    """An amount to three figures or more, without an exponent: 0.0000671, 22.3, 1234."""
    if value <= 0:
        return "0"
    decimals = max(0, 2 - floor(log10(value)))
    return f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
