"""How veneer is pressed: the face and the force, and what has to be at hand, in words."""

from collections.abc import Sequence
from math import ceil, floor

from msgspec import Struct

from benchbell.findings import counted
from benchbell.recipe.clamp_rules import force_text
from benchbell.recipe.clamping import Joint, joints_of
from benchbell.recipe.measure import AREA, Units, show
from benchbell.recipe.operations import OperationContext
from benchbell.recipe.steps import Step
from benchbell.recipe.veneering import Veneering
from benchbell.recipe.written import OperationText
from benchbell.trade.clamps import PSI_PER_N_PER_MM2
from benchbell.trade.pressings import Press, pressings

BEARERS_MM = 200
"""The most between two pairs of bearers across a caul. Common practice, no source: 150 to 200 mm."""


class Pressed(Struct, frozen=True):
    """The face on which a press works. long_mm: its longer side."""

    area_mm2: float
    long_mm: float


def pressed_face(laid: Veneering, joints: Sequence[Joint]) -> Pressed:
    """The face that is pressed: the largest joint as written, else the largest ground, else the largest leaf.

    Leaves on both faces, and grounds in one stack, are pressed by the same force.
    """
    sides = [(ground.length_mm, ground.width_mm) for ground in laid.grounds]
    sides = sides or [(leaf.plan_mm[0], leaf.plan_mm[1]) for leaf in laid.leaves]
    length, width = max(sides, key=lambda one: one[0] * one[1])
    area = max((joint.area_mm2 for joint in joints), default=length * width)
    return Pressed(area, max(length, width))


def press_of(written: OperationText) -> Press | None:
    """How a glue-up presses its veneer: as it says, else with cauls where it has clamps; None when it does not say."""
    return written.press or ("cauls" if written.glue and written.glue.clamps else None)


def press_needs_of(step: Step, laid: Veneering, context: OperationContext) -> tuple[str, ...]:
    """What an operation that lays veneer needs besides what it says."""
    written = context.recipe.operation[step.row]
    press, joints = press_of(written), joints_of(written, step.row, context.scope, context.findings)
    return (press_text(press, pressed_face(laid, joints), context.scope.units),) if press else ()


def needed_n(press: Press, face: Pressed) -> float:
    """The force in newtons that a press has to be tightened to; 0 where nothing is tightened."""
    return (pressings()[press].needs_n_per_mm2 or 0) * face.area_mm2


def press_text(press: Press, face: Pressed, units: Units) -> str:
    """What has to be at hand to press a face, in words."""
    area = show(face.area_mm2, AREA, units)
    if press == "vacuum":
        gives = pressings()[press].gives_n_per_mm2 or 0
        force = force_text(gives * face.area_mm2, units, floor)
        return f"vacuum bag, which gives about {pressure_text(gives, units)}: {force} on {area}"
    if press == "hammer":
        return "veneer hammer"
    wanted = f"for {force_text(needed_n(press, face), units)} or more on {area}"
    if press == "cauls":
        return f"2 stiff cauls and {counted(ceil(face.long_mm / BEARERS_MM), 'pair')} of bearers, {wanted}"
    return f"screw press, {wanted}"


def pressure_text(n_per_mm2: float, units: Units) -> str:
    """A pressure as text, in psi or MPa."""
    return f"{n_per_mm2 * PSI_PER_N_PER_MM2:.0f} psi" if units == "in" else f"{n_per_mm2:.3g} MPa"
