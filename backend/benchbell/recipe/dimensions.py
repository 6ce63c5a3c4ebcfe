"""What each operation in a formula takes and gives: lengths add to lengths, their product is an area."""

from collections.abc import Callable, Sequence

from benchbell.recipe.measure import ANGLE, NUMBER, Dim


class Mismatch(Exception):
    """Kinds that do not go together. Carries what is wrong and the next step."""

    def __init__(self, what: str, next_step: str) -> None:
        """Keep both sentences for whoever knows the column."""
        super().__init__(what, next_step)
        self.what = what
        self.next_step = next_step


Rule = Callable[[str, Sequence[Dim]], Dim]


def a_name(dim: Dim) -> str:
    """The kind with its article: `a length`, `an area`."""
    return ("an " if dim.name[0] in "aeiou" else "a ") + dim.name


def product(_: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a product."""
    a, b = taken
    return Dim(a.length + b.length, a.angle + b.angle, a.time + b.time)


def ratio(_: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a quotient."""
    a, b = taken
    return Dim(a.length - b.length, a.angle - b.angle, a.time - b.time)


def to_power(dim: Dim, exponent: int) -> Dim:
    """The kind of a whole power."""
    return Dim(dim.length * exponent, dim.angle * exponent, dim.time * exponent)


def half(name: str, taken: Sequence[Dim]) -> Dim:
    """The kind of a square root: an area gives a length."""
    (a,) = taken
    if a.length % 2 or a.angle % 2 or a.time % 2:
        raise Mismatch(f"{name} of {a_name(a)} has no meaning.", "Take the root of a number or an area.")
    return Dim(a.length // 2, a.angle // 2, a.time // 2)


def same(name: str, taken: Sequence[Dim]) -> Dim:
    """All of one kind, and the result too."""
    for other in taken[1:]:
        if other != taken[0]:
            raise Mismatch(
                f"{a_name(taken[0])} and {a_name(other)} do not go together in “{name}”.",
                "Put like beside like: give a bare number its unit.",
            )
    return taken[0]


def same_to(result: Dim) -> Rule:
    """All of one kind, whatever it is, to `result`."""

    def rule(name: str, taken: Sequence[Dim]) -> Dim:
        same(name, taken)
        return result

    return rule


def only(wanted: Dim, result: Dim) -> Rule:
    """One value of the wanted kind to `result`."""

    def rule(name: str, taken: Sequence[Dim]) -> Dim:
        if taken[0] != wanted:
            raise Mismatch(f"{name} takes {a_name(wanted)}, not {a_name(taken[0])}.", f"Give it {a_name(wanted)}.")
        return result

    return rule


OPERATORS: dict[str, Rule] = {"+": same, "-": same, "*": product, "/": ratio}

# name: least and most arguments, and the rule; with more than two they are joined pair by pair
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
