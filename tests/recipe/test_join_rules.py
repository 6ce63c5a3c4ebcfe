"""Faults planted in copies of a sound mitred case, each of which the checker finds."""

import pytest
from benchbell.recipe.compiler import compile_text
from shipped import SOUND, shipped_fragments

(CASE,) = (file.read_text(encoding="utf-8") for file in SOUND if file.stem == "clock-case")

BASE = 'lies = { way = "xyz", off = [{ edge = "top left", x = "stuff", z = "stuff" }, '
DIAL = """do = "Glue the mitres and the splines."
glue = { with = "pva-interior", spread = "3 min" }

[[operation]]
id = "put-in-dial"
parts = ["box", "dial-board"]
makes = "case"
"""
FAULTS = {
    "a base whose mitre is not 45°": (
        BASE, BASE.replace('x = "stuff"', 'x = "stuff - 1.5 mm"'),
        ("gap", "the mitre of side-1 and base: they run 1.1 mm into each other"),
    ),
    "a base mitred too far": (
        BASE, BASE.replace('x = "stuff"', 'x = "stuff + 1.5 mm"'),
        ("gap", "the mitre of side-1 and base: it stands 1 mm open"),
    ),
    "sides that stand further apart than the top reaches, held by splines": (
        'lies = { way = "zyx", x = "over width", off', 'lies = { way = "zyx", x = "over width + 1 mm", off',
        ("gap", "it stands 0.4 mm open"),
    ),
    "a square top between mitred sides": (
        'z = "to height", off = [{ edge = "bottom left", x = "stuff", z = "stuff" }, '
        '{ edge = "bottom right", x = "stuff", z = "stuff" }] }', 'z = "to height" }',
        ("gap", "joins side-1, which is mitred, to top, which is not"),
    ),
    "a spline left out of its glue-up": (
        'parts = ["side", "top", "base", "spline", "dial-board"]\nmakes',
        'parts = ["side", "top", "base", "spline-2", "spline-3", "spline-4", "dial-board"]\nmakes',
        ("loose", "joins side-1 and top, but leaves out spline-1, which lies in both"),
    ),
    "splines thicker than their slot": (
        'size = ["5 mm", "depth", "slot"]', 'size = ["5 mm", "depth", "slot + 1 mm"]',
        ("does-not-fit", "spline is 4 mm thick, and its slot is 3 mm"),
    ),
    "a cap screwed on 50 mm above the case": (
        'z = "on top" }', 'z = "on top + 50 mm" }',
        ("gap", "Operation fix-cap joins cap, which lies 50 mm from the rest"),
    ),
    "a dial board that goes in when the case is glued": (
        '"spline", "dial-board"]\nmakes = "case"\n', '"spline"]\nmakes = "box"\n' + DIAL,
        ("no-way-in", "puts dial-board between side-1 and side-2"),
    ),
    "a back that nothing holds": (
        'do = "Screw the back into its rabbet."', 'do = "The back goes into its rabbet."',
        ("loose", "puts back into case and names nothing that holds it: it comes out at the back"),
    ),
    "a door as wide as the case": (
        '"width - 2 * stuff - 2 mm", "10 mm"]', '"width - 2 * stuff + 6 mm", "10 mm"]',
        ("runs-through", "hang-door"),
    ),
}  # fmt: skip
"""What is wrong: what stands there, what stands there instead; the rule, and words of its sentence."""


def found(old="", new=""):
    """What the checker says of the case with a fault in it."""
    assert old in CASE
    text = CASE.replace(old, new, 1)
    return compile_text(text, "clock-case.toml", fragments=shipped_fragments()).findings


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(fault):
    old, new, (rule, words) = FAULTS[fault]

    assert [str(one) for one in found()] == []
    assert [str(one) for one in found(old, new) if one.rule == rule and words in one.what] != []


DOOR_TOO_WIDE = FAULTS["a door as wide as the case"][:2]
DIAL_LATE = FAULTS["a dial board that goes in when the case is glued"][:2]
TOLD = {
    "a door in a rabbet": (*DOOR_TOO_WIDE, "For the back, by hand.", "For the back and for the door, by hand."),
    "a dial board that comes in through a rabbet": (
        *DIAL_LATE, "For the back, by hand.", "For the back, and deeper for the dial."
    ),
    "a dial board that is sprung in": (
        *DIAL_LATE, "the dial board goes in dry.", "the dial board is sprung in dry."
    ),
    "a back that is pinned": (
        "Screw the back into its rabbet.", "The back goes into its rabbet.", "goes into its", "is pinned into its"
    ),
    "splines in a slot of two passes": (
        *FAULTS["splines thicker than their slot"][:2], "inside edge to the fence", "the splines' slot in two passes"
    ),
}  # fmt: skip
"""What answers a finding: the fault, what else stands there, and what stands there instead."""


@pytest.mark.parametrize("answer", TOLD)
def test_what_an_operation_tells_answers_it(answer):
    old, new, said, told = TOLD[answer]
    text = CASE.replace(old, new, 1)

    assert said in text
    assert [] != list(compile_text(text, "clock-case.toml").findings)
    assert [] == [str(one) for one in compile_text(text.replace(said, told, 1), "clock-case.toml").findings]
