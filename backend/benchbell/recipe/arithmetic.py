"""The operations of formulas on numbers in base units: mm, degrees, minutes.

Twin: pwa/src/recipe/arithmetic.ts, equal to the last bit except for sines, cosines and their inverses.
"""

import math
from collections.abc import Callable

from benchbell.findings import Refused
from benchbell.recipe.measure import TOLERANCE, plain, round_half_up

MOST_POWER = 6
SINE_OF_QUARTERS = {0.0: 0.0, 90.0: 1.0, 180.0: 0.0, 270.0: -1.0}
COSINE_OF_QUARTERS = {0.0: 1.0, 90.0: 0.0, 180.0: -1.0, 270.0: 0.0}


class CannotEvaluate(Refused):
    """A formula has no value with the sizes it was given."""


def finite(value: float) -> float:
    """The value itself. Raises CannotEvaluate when it is NaN or infinite."""
    if not math.isfinite(value):
        raise CannotEvaluate("The result is not a finite number.", "Check the sizes for a wrong digit or unit.")
    return value


def quotient(a: float, b: float) -> float:
    """a divided by b. Raises CannotEvaluate when b is 0."""
    if b == 0:
        raise CannotEvaluate(f"{plain(a, 3)} is divided by 0.", "Check the sizes after the “/”.")
    return a / b


def power(base: float, exponent: float) -> float:
    """A whole power, by multiplication: the power functions of the two languages differ in the last bit.

    Raises CannotEvaluate when the exponent is not whole or beyond -6 to 6, or when 0 has a negative exponent.
    """
    if exponent != math.floor(exponent) or abs(exponent) > MOST_POWER:
        raise CannotEvaluate(f"The power {plain(exponent, 3)} is not a small whole number.", "Use -6 to 6.")
    product = 1.0
    for _ in range(abs(int(exponent))):
        product *= base
    return quotient(1.0, product) if exponent < 0 else product


def root(value: float) -> float:
    """The square root. Raises CannotEvaluate when the value is negative."""
    if value < 0:
        raise CannotEvaluate(f"The square root of {plain(value, 3)} has no value.", "Check the sizes in sqrt.")
    return math.sqrt(value)


def sine(degrees: float) -> float:
    """The sine of an angle in degrees, exact at quarter turns."""
    turned = degrees % 360.0
    return SINE_OF_QUARTERS.get(turned, math.sin(turned * (math.pi / 180.0)))


def cosine(degrees: float) -> float:
    """The cosine of an angle in degrees, exact at quarter turns."""
    turned = degrees % 360.0
    return COSINE_OF_QUARTERS.get(turned, math.cos(turned * (math.pi / 180.0)))


def arc(name: str, back: Callable[[float], float]) -> Callable[[float], float]:
    """asin or acos in degrees, of a ratio from -1 to 1; rounding may bring it a billionth beyond.

    The function it gives raises CannotEvaluate when the ratio is farther beyond.
    """

    def angle(ratio: float) -> float:
        if abs(ratio) > 1 + TOLERANCE:
            raise CannotEvaluate(f"{name} of {plain(ratio, 3)} has no value.", "Check the sizes: it takes -1 to 1.")
        return back(max(-1.0, min(1.0, ratio))) * (180.0 / math.pi)

    return angle


def to_step(rounded: Callable[[float], int]) -> Callable[[float, float], float]:
    """A function that rounds to whole steps. `rounded` allows a billionth of a step: decimals are inexact in binary.

    The function it gives raises CannotEvaluate when the step is not above 0 or the result is not finite.
    """

    def stepped(value: float, step: float) -> float:
        if step <= 0:
            raise CannotEvaluate(f"The step {plain(step, 3)} is not above 0.", "Give a step such as 1 mm.")
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
    "floor": (2, to_step(lambda a: math.floor(a + TOLERANCE))),
    "ceil": (2, to_step(lambda a: math.ceil(a - TOLERANCE))),
}
"""By the name of an operation, its number of operands and its function."""
