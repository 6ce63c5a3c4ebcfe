"""How parts lie in a piece, as the sheet has it: words with formulas, from which recipe/solids makes solids.

Nothing here is evaluated: the sizes may still be measured at the bench.
"""

from typing import Literal

from msgspec import Struct

from benchbell.recipe.formula import Postfix

Axis = Literal["x", "y", "z"]
EdgeShape = Literal["flat", "rabbet", "cove", "ovolo", "ogee"]
"""What is taken off an edge is: a plane, a square corner, a hollow, a round, a round and a hollow."""

How = Literal["over", "clear", "centres", "row", "from", "to", "mid"]


class Tenon(Struct, frozen=True, omit_defaults=True):
    """Tenons within a part's length, at both ends or at one. thick, wide: empty as the part's. up: along its width."""

    long: Postfix
    thick: Postfix = ()
    wide: Postfix = ()
    up: Postfix = ()
    end: str = ""


class TakenOff(Struct, frozen=True, omit_defaults=True):
    """What is taken off the edge where two faces meet. by: how far from it, on each of their axes."""

    edge: tuple[str, ...]
    by: dict[Axis, Postfix]
    shape: EdgeShape = "flat"


class Placing(Struct, frozen=True, omit_defaults=True):
    """How the copies of one part lie in a piece: x to the right, y to the back, z up from the floor.

    part: its id in the recipe; its copies are part-1, part-2 …, or part alone.
    way: axes of length, width and thickness. rests: the bent part it follows, or "".
    x, y, z: where its copies lie, each how and at what; empty: in the middle, on the floor. Postfixs may use faces of
    parts placed before, such as "@leg-1.top", in mm.
    copies: how many differ on each axis, fastest first. around: corners are counted round. lean: angles by axis.
    """

    part: str
    count: int
    way: Literal["xyz", "xzy", "yxz", "yzx", "zxy", "zyx"]
    size: tuple[Postfix, ...]
    x: tuple[tuple[How, Postfix], ...] = ()
    y: tuple[tuple[How, Postfix], ...] = ()
    z: tuple[tuple[How, Postfix], ...] = ()
    copies: dict[Axis, int] = {}
    around: bool = False
    tenon: Tenon | None = None
    off: tuple[TakenOff, ...] = ()
    lean: dict[Axis, Postfix] = {}
    round: Postfix = ()
    bow: Postfix = ()
    rests: str = ""

    @property
    def places(self) -> dict[Axis, tuple[tuple[How, Postfix], ...]]:
        """Where its copies lie, by axis."""
        return {"x": self.x, "y": self.y, "z": self.z}
