"""Dimensional analysis of formulas: the kinds each operation takes and the kind it gives."""

from collections.abc import Callable, Sequence

from benchbell.recipe.measure import ANGLE, NUMBER, PERCENT, Dim


class Mismatch(Exception):
    """Kinds do not go together. what: a sentence about it; next_step: an order."""

    def __init__(self, what: str, next_step: str) -> None:
        """Keep both sentences: the parser adds the column and repeats them as a FormulaError."""
        super().__init__(what, next_step)
        self.what = what
        self.next_step = next_step


Rule = Callable[[str, Sequence[Dim]], Dim]


def with_article(dim: Dim) -> str:
    """A kind with its article: `a length`, `an area`."""
    return ("an " if dim.name[0] in "aeiou" else "a ") + dim.name


def product(name: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a product. Raises Mismatch for a percentage and anything but a number."""
    a, b = taken
    only_with_numbers(name, a, b)
    return Dim(a.length + b.length, a.angle + b.angle, a.time + b.time, a.percent + b.percent)


def ratio(name: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a quotient. Raises Mismatch for a percentage and anything but a number or a percentage."""
    a, b = taken
    if a != b:
        only_with_numbers(name, a, b)
    return Dim(a.length - b.length, a.angle - b.angle, a.time - b.time, a.percent - b.percent)


def only_with_numbers(name: str, a: Dim, b: Dim) -> None:
    """Raises Mismatch for a percentage and another kind: 9 % is what a meter shows, not 0.09 of something."""
    if PERCENT in (a, b) and NUMBER not in (a, b):
        raise Mismatch(
            f"{with_article(a)} and {with_article(b)} do not go together in “{name}”.",
            "Write a share as a number: 0.05 for 5 %.",
        )


def to_power(dim: Dim, exponent: int) -> Dim:
    """The kind of a whole power."""
    return Dim(dim.length * exponent, dim.angle * exponent, dim.time * exponent, dim.percent * exponent)


def half(name: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a square root: an area gives a length. Raises Mismatch when a power is odd."""
    (a,) = taken
    if a.length % 2 or a.angle % 2 or a.time % 2 or a.percent % 2:
        raise Mismatch(f"{name} of {with_article(a)} has no meaning.", "Take the root of a number or an area.")
    return Dim(a.length // 2, a.angle // 2, a.time // 2, a.percent // 2)


def same(name: str, taken: Sequence[Dim]) -> Dim:
    """The one kind of all values. Raises Mismatch when they differ."""
    for other in taken[1:]:
        if other != taken[0]:
            raise Mismatch(
                f"{with_article(taken[0])} and {with_article(other)} do not go together in “{name}”.",
                "Use values of one kind: give a bare number its unit.",
            )
    return taken[0]


def same_to(result: Dim) -> Rule:
    """A rule: values of any one kind give `result`. It raises Mismatch when they differ."""

    def rule(name: str, taken: Sequence[Dim]) -> Dim:
        same(name, taken)
        return result

    return rule


def only(needed: Dim, result: Dim) -> Rule:
    """A rule: one value of the kind `needed` gives `result`. It raises Mismatch for another kind."""

    def rule(name: str, taken: Sequence[Dim]) -> Dim:
        if taken[0] != needed:
            raise Mismatch(
                f"{name} takes {with_article(needed)}, not {with_article(taken[0])}.",
                f"Give it {with_article(needed)}.",
            )
        return result

    return rule


OPERATORS: dict[str, Rule] = {"+": same, "-": same, "*": product, "/": ratio}

# By name: the least and most arguments, and the rule. More than two arguments are combined pair by pair.
FUNCTIONS: dict[str, tuple[int, int, Rule]] = {
    "abs": (1, 1, same),
    "min": (2, 20, same),
    "max": (2, 20, same),
    "sqrt": (1, 1, half),
    "sin": (1, 1, only(ANGLE, NUMBER)),
    "cos": (1, 1, only(ANGLE, NUMBER)),
    "tan": (1, 1, only(ANGLE, NUMBER)),
    "asin": (1, 1, only(NUMBER, ANGLE)),
    "acos": (1, 1, only(NUMBER, ANGLE)),
    "atan": (1, 1, only(NUMBER, ANGLE)),
    "atan2": (2, 2, same_to(ANGLE)),
    "round": (2, 2, same),
    "floor": (2, 2, same),
    "ceil": (2, 2, same),
}
