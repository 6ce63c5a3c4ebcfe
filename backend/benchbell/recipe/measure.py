"""Lengths, angles, times and percentages with their units: read from text, shown in millimetres or inches.

Base units: mm, degrees, minutes, percent; mm² and mm³ follow. Twin: pwa/src/recipe/measure.ts.
All rounding is to the nearest step, halves up: 2.5 gives 3, -2.5 gives -2.
"""

import math
import re
from typing import Literal

from msgspec import Struct

from benchbell.findings import Refused

Units = Literal["mm", "in"]


class Dim(Struct, frozen=True, omit_defaults=True):
    """A dimension: the powers of mm, degrees, minutes and percent in a value."""

    length: int
    angle: int
    time: int
    percent: int = 0

    @property
    def name(self) -> str:
        """`length`, `area`, `number` and so on; `length^4` for a dimension without a name."""
        powers = (("length", self.length), ("angle", self.angle), ("time", self.time), ("percentage", self.percent))
        return DIM_NAMES.get(self) or " ".join(f"{base}^{power}" for base, power in powers if power)


NUMBER = Dim(0, 0, 0)
LENGTH = Dim(1, 0, 0)
AREA = Dim(2, 0, 0)
VOLUME = Dim(3, 0, 0)
ANGLE = Dim(0, 1, 0)
TIME = Dim(0, 0, 1)
PERCENT = Dim(0, 0, 0, 1)
DIM_NAMES = {
    NUMBER: "number",
    LENGTH: "length",
    AREA: "area",
    VOLUME: "volume",
    ANGLE: "angle",
    TIME: "time",
    PERCENT: "percentage",
}


def dim_named(name: str) -> Dim:
    """The dimension of that name; NUMBER for a dimension without a name."""
    return next((dim for dim, known in DIM_NAMES.items() if known == name), NUMBER)


class Quantity(Struct, frozen=True):
    """A value in base units: mm, degrees, minutes, percent."""

    value: float
    dim: Dim


class NotAMeasure(Refused):
    """A text is not a size, angle, time or number."""


# Each unit in base units, as a fraction: 1 3/4 in is then 44.45 mm to the last bit.
# The inch is 25.4 mm exactly since 1959; the foot is 12 of them.
UNITS = {
    "mm": (1, 1, LENGTH),
    "cm": (10, 1, LENGTH),
    "m": (1000, 1, LENGTH),
    "in": (127, 5, LENGTH),
    "ft": (1524, 5, LENGTH),
    "deg": (1, 1, ANGLE),
    "s": (1, 60, TIME),
    "min": (1, 1, TIME),
    "h": (60, 1, TIME),
    "d": (1440, 1, TIME),
    "%": (1, 1, PERCENT),
}
# Other ways to write a unit. Phones turn straight quotes into curly ones.
UNIT_ALIASES = {"''": "in", '"': "in", "″": "in", "”": "in", "'": "ft", "′": "ft", "’": "ft", "°": "deg"}
UNIT_ALIASES |= {"day": "d", "days": "d"}
SMALLER_UNITS = {"ft": ("in",), "d": ("h", "min", "s"), "h": ("min", "s"), "min": ("s",)}
# fmt: off
VULGAR = {"½": 1 / 2, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 1 / 4, "¾": 3 / 4, "⅕": 1 / 5, "⅖": 2 / 5, "⅗": 3 / 5, "⅘": 4 / 5,
          "⅙": 1 / 6, "⅚": 5 / 6, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8}
# fmt: on
SPACES = " \t\u00a0\u2009\u202f"
GAP = f"[{SPACES}]"
FRACTION = re.compile(rf"(?:([0-9]+){GAP}+)?([0-9]+){GAP}*[/⁄]{GAP}*([0-9]+)(?![0-9.])")
VULGAR_NUMBER = re.compile(rf"([0-9]*){GAP}*([{''.join(VULGAR)}])")
DECIMAL = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
UNIT = re.compile(rf"{GAP}*((?:days|day|deg|min|mm|cm|in|ft|m|s|h|d)(?![A-Za-z_])|''|[\"″”'′’°%])")
KNOWN_UNITS = "mm, cm, m, in, \", ft, ', deg, °, s, min, h, d, days or %"
MOST_CHARACTERS = 60
MOST_VALUE = 1e9  # in base units: 1000 km, 1900 years; more than any workshop needs, far from overflow
BEYOND_SENSE = 1e12  # such figures are not spelt out; more than 1e306 mm could not even be made inches
INCH_STEP = 64  # the finest marks of an inch rule
ON_A_MARK = 1e-6  # of such a step: 0.4 nm, far above the error of sums of binary fractions, far below any rule
TOLERANCE = 1e-9  # error of binary fractions: 2.55 / 0.1 falls just short of 25.5


def read(text: str) -> Quantity:
    """The quantity in a text: `1 3/4 in`, `5' 3 1/2"`, `-2.5 mm`, `7°`, `1 h 30 min`, `12`.

    Raises NotAMeasure when the text is not one quantity, or is too long or too large.
    """
    trimmed = text.strip(SPACES)
    if not trimmed:
        raise NotAMeasure("No size is written.", "Write one such as 19 mm or 3/4 in.")
    if len(trimmed) > MOST_CHARACTERS:
        raise NotAMeasure(
            f"A size has at most {MOST_CHARACTERS} characters, this has {len(trimmed)}.", "Write it shorter."
        )
    negative = trimmed[0] in "-−"
    body = trimmed[1:].lstrip(SPACES) if negative else trimmed
    found = scan(body)
    if found is None:
        raise NotAMeasure(f"“{trimmed}” does not begin with a number.", "Write one such as 19 mm or 3/4 in.")
    quantity, end = found
    if rest := body[end:].lstrip(SPACES):
        raise rest_error(trimmed, rest)
    return Quantity(-quantity.value + 0.0, quantity.dim) if negative else quantity


def rest_error(text: str, rest: str) -> NotAMeasure:
    """An exception for the `rest` of a text, which could not be read."""
    if rest[0] == ",":
        return NotAMeasure(f"“{text}” has a comma.", f"Write a point for decimals, as in {text.replace(',', '.')}.")
    if rest[0] in "0123456789":
        return NotAMeasure(f"“{text}” has a second number, “{rest}”.", "Write one number, as in 1000 mm or 1 3/4 in.")
    if rest[0] in "-−":
        return NotAMeasure(f"“{text}” has a dash inside.", "Write a space before a fraction, as in 1 3/4 in.")
    return NotAMeasure(f"“{text}” has “{rest}” where a unit belongs.", f"Use {KNOWN_UNITS}.")


def scan(text: str, at: int = 0, bare_fraction: bool = True) -> tuple[Quantity, int] | None:
    """The unsigned quantity that starts at `at`, and where it ends; None when no number is there.

    bare_fraction: whether `3/4` without a unit is one number; in a formula it is a division.
    Raises NotAMeasure when a fraction is not a proper one or the value is too large.
    """
    found = scan_number(text, at)
    if found is None:
        return None
    value, end = found
    unit, after = scan_unit(text, end)
    if unit:
        value, end = scan_smaller_units(text, to_base_units(value, unit), unit, after)
        return quantity_of(value, UNITS[unit][2], text[at:end]), end
    if not bare_fraction and FRACTION.match(text, at) and (top := DECIMAL.match(text, at)):
        value, end = float(top[0]), top.end()
    return quantity_of(value, NUMBER, text[at:end]), end


def scan_smaller_units(text: str, value: float, unit: str, end: int) -> tuple[float, int]:
    """A value with the smaller units that follow it added, as inches follow feet; and where they end.

    value: in base units. Raises NotAMeasure when a fraction is not a proper one.
    """
    found = scan_number(text, end + len(text[end:]) - len(text[end:].lstrip(SPACES)))
    smaller, after = scan_unit(text, found[1]) if found else ("", end)
    if found is None or smaller not in SMALLER_UNITS.get(unit, ()):
        return value, end
    return scan_smaller_units(text, value + to_base_units(found[0], smaller), smaller, after)


def scan_unit(text: str, at: int) -> tuple[str, int]:
    """The unit at `at` by its name in UNITS, and where it ends; "" when none is there."""
    m = UNIT.match(text, at)
    return (UNIT_ALIASES.get(m[1], m[1]), m.end()) if m else ("", at)


def to_base_units(count: float, unit: str) -> float:
    """A count of a unit, in base units."""
    times, over, _ = UNITS[unit]
    return count * times / over


def scan_number(text: str, at: int) -> tuple[float, int] | None:
    """The number that starts at `at`, a decimal or a fraction, and where it ends; None when none is there.

    Raises NotAMeasure when a fraction is not a proper one.
    """
    if m := FRACTION.match(text, at):
        whole, top, bottom = float(m[1] or 0), float(m[2]), float(m[3])
        if bottom == 0 or (m[1] and top >= bottom):
            raise NotAMeasure(f"“{m[0]}” is not a proper fraction.", "Write it as 3/4 or 1 3/4.")
        return whole + top / bottom, m.end()
    if m := VULGAR_NUMBER.match(text, at):
        return float(m[1] or 0) + VULGAR[m[2]], m.end()
    if m := DECIMAL.match(text, at):
        return float(m[0]), m.end()
    return None


def quantity_of(value: float, dim: Dim, text: str) -> Quantity:
    """The quantity of a value in base units. text: as written. Raises NotAMeasure when it is beyond MOST_VALUE."""
    if not value <= MOST_VALUE:
        raise NotAMeasure(f"“{text[:20]}” is larger than any workshop.", "Check the digits and the unit.")
    return Quantity(value, dim)


def show(value: float, dim: Dim, units: Units) -> str:
    """A value in base units as text for the bench.

    Lengths to 0.1 mm, or in inches to the nearest 1/64 in lowest terms, with “≈” where that is not the size itself;
    areas to 0.1 cm² or in²; times to the minute, below ten minutes to the second, from 48 h in days;
    angles to 0.01°; percentages to 0.1 %; numbers and the rest to 0.001. Halves go up.
    Raises NotAMeasure when the value is NaN or infinite.
    """
    if not math.isfinite(value):
        raise NotAMeasure("The value is not a finite number.", "Check the sizes it comes from.")
    if dim == LENGTH:
        return inches(value) if units == "in" else f"{plain(value, 1)} mm"
    if dim == AREA:
        return f"{plain(value / 25.4**2, 1)} in²" if units == "in" else f"{plain(value / 100, 1)} cm²"
    if dim == VOLUME:
        return f"{plain(value / 25.4**3, 1)} in³" if units == "in" else f"{plain(value / 1000, 1)} cm³"
    if dim == TIME:
        return days_and_hours(value)
    if dim == ANGLE:
        return f"{plain(value, 2)}°"
    if dim == PERCENT:
        return f"{plain(value, 1)} %"
    return plain(value, 3) if dim == NUMBER else f"{plain(value, 3)} {dim.name}"


def told_apart(one_mm: float, other_mm: float, units: Units) -> tuple[str, str]:
    """Two lengths as text that differ where the lengths do: in mm where inches read alike, else to 0.01 mm."""
    shown = show(one_mm, LENGTH, units), show(other_mm, LENGTH, units)
    in_mm = ((f"{plain(one_mm, places)} mm", f"{plain(other_mm, places)} mm") for places in (1, 2))
    return next((texts for texts in (shown, *in_mm) if texts[0].lstrip("≈") != texts[1].lstrip("≈")), shown)


def inches(value_mm: float) -> str:
    """Millimetres as inches to the nearest 1/64, in lowest terms: `1 3/4 in`; `≈45/64 in` where it was rounded."""
    if abs(value_mm / 25.4) >= BEYOND_SENSE:
        return f"{plain(value_mm / 25.4, 0)} in"
    exact = value_mm * 5 / 127 * INCH_STEP
    steps = round_half_up(exact)
    whole, top = divmod(abs(steps), INCH_STEP)
    shared = math.gcd(top, INCH_STEP)
    parts = [str(whole)] if whole or not top else []
    parts += [f"{top // shared}/{INCH_STEP // shared}"] if top else []
    about = "≈" if abs(exact - steps) > ON_A_MARK else ""
    return about + ("-" if steps < 0 else "") + " ".join(parts) + " in"


def days_and_hours(minutes: float) -> str:
    """Minutes as `1 h 30 min`: to the minute, below ten minutes to the second, from 48 h with days."""
    if abs(minutes) >= BEYOND_SENSE:
        return f"{plain(minutes, 0)} min"
    seconds = round_half_up(minutes * 60) if abs(minutes) < 10 else round_half_up(minutes) * 60
    left = abs(seconds)
    parts = []
    for size, unit in ((86400, "d"), (3600, "h"), (60, "min"), (1, "s")):
        if unit == "d" and left < 2 * size:
            continue
        count, left = divmod(left, size)
        parts += [f"{count} {unit}"] if count else []
    return ("-" if seconds < 0 else "") + (" ".join(parts) or "0 min")


def plain(value: float, places: int) -> str:
    """A number to so many decimal places, without trailing zeros; halves go up."""
    if abs(value) >= BEYOND_SENSE:
        return "over 10^12" if value > 0 else "under -10^12"
    scale = 10**places
    steps = round_half_up(value * scale)
    whole, rest = divmod(abs(steps), scale)
    decimals = str(rest).zfill(places).rstrip("0") if rest else ""
    return ("-" if steps < 0 else "") + str(whole) + ("." + decimals if decimals else "")


def round_half_up(value: float) -> int:
    """The nearest whole number. A half goes up, also when it is a billionth short of one."""
    below = math.floor(value)
    return below + 1 if value - below >= 0.5 - TOLERANCE else below
