"""The joints that a glue-up's clamps press, with their formulas evaluated, and the check of its clamps' kinds."""

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.recipe.finding_list import FindingList
from benchbell.recipe.measure import AREA, LENGTH
from benchbell.recipe.named_sizes import FormulaScope, positive_value
from benchbell.recipe.written import OperationText
from benchbell.trade.clamps import clamp_named


class Joint(Struct, frozen=True):
    """`count` equal joints. length_mm: of a glue line that only clamps close, otherwise None.

    depth_mm: from clamp or caul to the glue line, None when the recipe leaves it out.
    """

    area_mm2: float
    count: int
    length_mm: float | None
    depth_mm: float | None


def joints_of(written: OperationText, row: int, scope: FormulaScope, findings: FindingList) -> list[Joint]:
    """The joints of a glue-up with planned sizes. A joint with a wrong formula gives a finding and is left out."""
    joints = []
    for n, joint in enumerate(written.glue.joints if written.glue else ()):
        path, about = ("operation", row, "glue", "joints", n), f"Operation {written.id}: joint {n + 1}"
        area = positive_value(joint.area, scope, path, f"{about}, area", findings, AREA)
        length = positive_value(joint.length, scope, path, f"{about}, length", findings, LENGTH)
        depth = positive_value(joint.depth, scope, path, f"{about}, depth", findings, LENGTH)
        if area is not None:
            joints.append(Joint(area, joint.count, length, depth))
    return joints


def check_clamps(written: OperationText, row: int, findings: FindingList) -> None:
    """Add a finding for each kind of clamp that is not in the clamps' table."""
    for kind in written.glue.clamps if written.glue else ():
        try:
            clamp_named(kind)
        except Refused as error:
            findings.add_refusal("unknown-name", ("operation", row, "glue", "clamps"), f"Operation {written.id}", error)
