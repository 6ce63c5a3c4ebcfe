"""Random formulas: their text, and beside it their kind and their worth by Python's own arithmetic."""

import math
from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from benchbell.findings import Refused
from benchbell.recipe.formula import evaluate
from benchbell.recipe.measure import ANGLE, AREA, LENGTH, NUMBER, TIME, Dim
from hypothesis import strategies as st

DIMS = {"leg": LENGTH, "rail": LENGTH, "splay": ANGLE, "rake": ANGLE, "shelves": NUMBER, "rest": TIME, "top": AREA}


class Written(NamedTuple):
    """A formula as text. strength: 3 is a whole, 2 a product, 1 a sum or a sign. value: None where it is not known."""

    text: str
    value: float | None
    strength: int


class Rule(NamedTuple):
    """How a formula of some kind is made of others: their kinds, their least strengths, text and worth."""

    takes: tuple[Dim, ...]
    needs: tuple[int, ...]
    text: str
    worth: Callable[..., float]
    strength: int


def stepped(toward: Callable[[Fraction], int]) -> Callable[[float, float], float]:
    """Rounding in exact arithmetic; NaN next to a step or a half, where the program forgives a billionth."""

    def worth(value: float, step: float) -> float:
        count = Fraction(value) / Fraction(step) if step > 0 else Fraction(0)
        return math.nan if abs(2 * count - round(2 * count)) < Fraction(1, 10**8) else toward(count) * step

    return worth


def call(name: str, worth: Callable[..., float], *takes: Dim) -> Rule:
    places = ", ".join(["{}"] * len(takes))
    return Rule(takes, (1,) * len(takes), f"{name}({places})", worth, 3)


def alike(dim: Dim) -> list[Rule]:
    """What any kind can do among itself."""
    return [
        Rule((dim, dim), (1, 2), "{} + {}", lambda a, b: a + b, 1),
        Rule((dim, dim), (1, 2), "{}-{}", lambda a, b: a - b, 1),
        Rule((NUMBER, dim), (2, 3), "{}*{}", lambda a, b: a * b, 2),
        Rule((dim, NUMBER), (2, 3), "{} / {}", lambda a, b: a / b, 2),
        Rule((dim,), (3,), "-{}", lambda a: -a, 1),
        call("abs", abs, dim),
        call("min", lambda *all_of: min(all_of), dim, dim, dim),
        call("max", lambda *all_of: max(all_of), dim, dim),
        call("round", stepped(lambda count: math.floor(count + Fraction(1, 2))), dim, dim),
        call("floor", stepped(math.floor), dim, dim),
        call("ceil", stepped(math.ceil), dim, dim),
    ]


RULES = {
    NUMBER: [
        *alike(NUMBER),
        Rule((LENGTH, LENGTH), (2, 3), "{} / {}", lambda a, b: a / b, 2),
        Rule((NUMBER,), (3,), "{}^3", lambda a: a**3, 2),
        Rule((NUMBER,), (3,), "{} ^ -2", lambda a: a**-2, 2),
        call("sin", lambda a: math.sin(math.radians(a)), ANGLE),
        call("cos", lambda a: math.cos(math.radians(a)), ANGLE),
        call("tan", lambda a: math.tan(math.radians(a)), ANGLE),
    ],
    LENGTH: [
        *alike(LENGTH),
        Rule((AREA, LENGTH), (2, 3), "{} / {}", lambda a, b: a / b, 2),
        call("sqrt", math.sqrt, AREA),
    ],
    AREA: [
        *alike(AREA),
        Rule((LENGTH, LENGTH), (2, 3), "{} * {}", lambda a, b: a * b, 2),
        Rule((LENGTH,), (3,), "{}^2", lambda a: a**2, 2),
    ],
    ANGLE: [
        *alike(ANGLE),
        call("asin", lambda a: math.degrees(math.asin(a)), NUMBER),
        call("acos", lambda a: math.degrees(math.acos(a)), NUMBER),
        call("atan", lambda a: math.degrees(math.atan(a)), NUMBER),
        call("atan2", lambda a, b: math.degrees(math.atan2(a, b)), LENGTH, LENGTH),
    ],
    TIME: alike(TIME),
}

LITERALS = {
    NUMBER: [("{}", Fraction(1))],
    LENGTH: [("{} mm", Fraction(1)), ('{}"', Fraction("25.4")), ("{} cm", Fraction(10)), ("{}ft", Fraction("304.8"))],
    ANGLE: [("{} deg", Fraction(1)), ("{}°", Fraction(1))],
    TIME: [("{} min", Fraction(1)), ("{} h", Fraction(60))],
    AREA: [],
}


@st.composite
def literals(draw, dim):
    """A size with its unit: decimal, or whole and fraction. It stands by itself but under a power."""
    form, worth = draw(st.sampled_from(LITERALS[dim]))
    hundredths = draw(st.integers(1, 20000))
    if dim == LENGTH and draw(st.booleans()):
        whole, top = divmod(hundredths, 64)
        count, text = Fraction(hundredths, 64), f"{whole} {top}/64" if top else str(whole)
    else:
        count, text = Fraction(hundredths, 100), f"{hundredths / 100:g}"
    return Written(f"({form.format(text)})" if dim != NUMBER else text, float(count * worth), 3)


@st.composite
def formulas(draw, dim, sizes, depth=4):
    """A formula of a kind over these sizes."""
    named = [Written(name, sizes[name], 3) for name, kind in DIMS.items() if kind == dim]
    if depth == 0 or draw(st.integers(0, 3)) == 0:
        return draw(st.sampled_from(named) | literals(dim) if LITERALS[dim] else st.sampled_from(named))
    rule = draw(st.sampled_from(RULES[dim]))
    parts = [draw(formulas(kind, sizes, depth - 1)) for kind in rule.takes]
    wrapped = [
        part.text if part.strength >= least and draw(st.integers(0, 5)) != 0 else f"( {part.text})"
        for part, least in zip(parts, rule.needs, strict=True)
    ]
    return Written(rule.text.format(*wrapped), worth_of(rule, [part.value for part in parts]), rule.strength)


def worth_of(rule, values):
    """What the rule makes of the values; None where that is no finite figure."""
    if None in values:
        return None
    try:
        value = rule.worth(*values)
    except (ValueError, ZeroDivisionError, OverflowError):
        return None
    return value if math.isfinite(value) else None


def sizes_of_a_build():
    """A value for each name in DIMS."""
    return st.fixed_dictionaries({name: st.integers(1, 200000).map(lambda n: n / 64) for name in DIMS})


def is_steady(postfix, sizes, by):
    """Whether a change of each number by one part in 1/by leaves the result about where it is.

    Where it does not, two honest ways of reckoning may differ: next to a step, or after all digits cancelled.
    """
    try:
        value = evaluate(postfix, sizes)
        moved = [evaluate(shaken(postfix, by, seed), {**sizes}) for seed in range(4)]
    except Refused:
        return False
    return all(abs(other - value) <= 1000 * by * abs(value) for other in moved)


def shaken(postfix, by, seed):
    """The same with each number a little off, sizes too; powers stay."""
    changed = []
    for place, item in enumerate(postfix):
        factor = 1 + by * (1 if (place * 7 + seed * 5) // (1 + seed) % 2 else -1)
        if isinstance(item, str):
            changed += [item, factor, "*"] if item.startswith("@") else [item]
        else:
            is_power = postfix[place + 1 : place + 2] == ("^",)
            changed.append(item if is_power else item * factor)
    return tuple(changed)
