"""What each operation in a formula does to numbers in base units (mm, degrees, minutes).

Twin: pwa/src/recipe/arithmetic.ts, the same to the last bit but for sines, cosines and arcs.
"""

import math
from collections.abc import Callable

from benchbell.findings import Refused
from benchbell.recipe.measure import NEARLY, plain, round_half_up

MOST_POWER = 6
SINE_OF_QUARTERS = {0.0: 0.0, 90.0: 1.0, 180.0: 0.0, 270.0: -1.0}
COSINE_OF_QUARTERS = {0.0: 1.0, 90.0: 0.0, 180.0: -1.0, 270.0: 0.0}


class CannotReckon(Refused):
    """A formula that has no value with these sizes."""


def finite(value: float) -> float:
    """The value itself. Raises CannotReckon for NaN and infinity."""
    if not math.isfinite(value):
        raise CannotReckon("The figures run out of bounds.", "Check the sizes for a wrong digit or unit.")
    return value


def quotient(a: float, b: float) -> float:
    """How often b goes into a."""
    if b == 0:
        raise CannotReckon(f"{plain(a, 3)} is divided by 0.", "Check the sizes below the line.")
    return a / b


def power(base: float, exponent: float) -> float:
    """Whole powers by multiplying, so that both languages agree to the last bit."""
    if exponent != math.floor(exponent) or abs(exponent) > MOST_POWER:
        raise CannotReckon(f"The power {plain(exponent, 3)} is not a small whole number.", "Use -6 to 6.")
    product = 1.0
    for _ in range(abs(int(exponent))):
        product *= base
    return quotient(1.0, product) if exponent < 0 else product


def root(value: float) -> float:
    """The square root."""
    if value < 0:
        raise CannotReckon(f"The square root of {plain(value, 3)} has no value.", "Check the sizes under the root.")
    return math.sqrt(value)


def sine(degrees: float) -> float:
    """The sine, exact at quarter turns."""
    turned = degrees % 360.0
    return SINE_OF_QUARTERS.get(turned, math.sin(turned * (math.pi / 180.0)))


def cosine(degrees: float) -> float:
    """The cosine, exact at quarter turns."""
    turned = degrees % 360.0
    return COSINE_OF_QUARTERS.get(turned, math.cos(turned * (math.pi / 180.0)))


def arc(name: str, back: Callable[[float], float]) -> Callable[[float], float]:
    """An arc sine or arc cosine in degrees; forgives a billionth beyond one, as rounding brings."""

    def angle(ratio: float) -> float:
        if abs(ratio) > 1 + NEARLY:
            raise CannotReckon(f"{name} of {plain(ratio, 3)} has no value.", "It takes -1 to 1: check the sizes.")
        return back(max(-1.0, min(1.0, ratio))) * (180.0 / math.pi)

    return angle


def to_step(rounded: Callable[[float], int]) -> Callable[[float, float], float]:
    """Rounding to whole steps; a billionth of a step is forgiven, as decimals in binary need."""

    def stepped(value: float, step: float) -> float:
        if step <= 0:
            raise CannotReckon(f"The step {plain(step, 3)} is not above 0.", "Give a step such as 1 mm.")
        return rounded(finite(value / step)) * step

    return stepped


ARITHMETIC: dict[str, tuple[int, Callable[..., float]]] = {
    "+": (2, lambda a, b: a + b),
    "-": (2, lambda a, b: a - b),
    "*": (2, lambda a, b: a * b),
    "/": (2, quotient),
    "^": (2, power),
    "neg": (1, lambda a: -a),
    "abs": (1, abs),
    "min": (2, min),
    "max": (2, max),
    "sqrt": (1, root),
    "sin": (1, sine),
    "cos": (1, cosine),
    "tan": (1, lambda a: quotient(sine(a), cosine(a))),
    "asin": (1, arc("asin", math.asin)),
    "acos": (1, arc("acos", math.acos)),
    "atan": (1, lambda a: math.atan(a) * (180.0 / math.pi)),
    "atan2": (2, lambda a, b: math.atan2(a, b) * (180.0 / math.pi)),
    "round": (2, to_step(round_half_up)),
    "floor": (2, to_step(lambda a: math.floor(a + NEARLY))),
    "ceil": (2, to_step(lambda a: math.ceil(a - NEARLY))),
}
