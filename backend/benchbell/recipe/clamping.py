"""What a glue-up's clamps have to press: its joints, reckoned, and the kinds of its clamps."""

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.measure import AREA, LENGTH
from benchbell.recipe.named_sizes import Names, above_zero
from benchbell.recipe.notes import Notes
from benchbell.recipe.written import OperationText
from benchbell.trade.clamps import clamp_named


class Joint(Struct, frozen=True):
    """One of `count` joints alike. length_mm: of a glue line that only clamps close, else None.

    depth_mm: from clamp or caul to the glue line, None where the recipe leaves it out.
    """

    area_mm2: float
    count: int
    length_mm: float | None
    depth_mm: float | None


def joints_of(written: OperationText, row: int, names: Names, notes: Notes) -> list[Joint]:
    """The joints of a glue-up, as planned; what is not sound has a finding and is left out."""
    joints = []
    for n, joint in enumerate(written.glue.joints if written.glue else ()):
        path, about = ("operation", row, "glue", "joints", n), f"Operation {written.id}: joint {n + 1}"
        area = above_zero(joint.area, names, path, f"{about}, area", notes, AREA)
        length = above_zero(joint.length, names, path, f"{about}, length", notes, LENGTH)
        depth = above_zero(joint.depth, names, path, f"{about}, depth", notes, LENGTH)
        if area is not None:
            joints.append(Joint(area, joint.count, length, depth))
    return joints


def check_clamps(written: OperationText, row: int, notes: Notes) -> None:
    """A finding for each kind of clamp that there is none of."""
    for kind in written.glue.clamps if written.glue else ():
        try:
            clamp_named(kind)
        except Refused as error:
            notes.refused("unknown-name", ("operation", row, "glue", "clamps"), f"Operation {written.id}", error)
