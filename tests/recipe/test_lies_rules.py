"""Faults planted in copies of shipped recipes, each of which the checker finds; without them it says nothing."""

from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text
from shipped import shipped_fragments

RECIPES = Path(__file__).parents[2] / "recipes"

FAULTS = {
    "legs further apart than the rails reach": (
        "hall-bench", 'x = "over base_length", y', 'x = "over base_length + 60 mm", y',
        ("gap", "long-rail-1"),
    ),
    "end rails too far in": (
        "hall-bench", '"over base_length - 2 * rail_inset"', '"over base_length - 130 mm"',
        ("gap", "end-rail-1"),
    ),
    "rails set on edge on the wrong axis": (
        "hall-bench", 'way = "xzy", y = "over depth', 'way = "yzx", y = "over depth',
        ("runs-through", "long-rail"),
    ),
    "legs off the floor": (
        "garden-stool", 'way = "zxy", x = "over length"', 'way = "zxy", z = "from 5 mm", x = "over length"',
        ("does-not-stand", "5 mm above the floor"),
    ),
    "all legs under one end": (
        "hall-bench", 'x = "over base_length", y', 'x = ["from -510 mm", "from -250 mm"], y',
        ("does-not-stand", "to the left of the middle"),
    ),
    "a stretcher too high for its mates": (
        "garden-stool", 'lies = { way = "xzy", z = "from stretcher_up"', 'lies = { way = "xzy", z = "from 230 mm"',
        ("gap", "cross-stretcher"),
    ),
    "left and right exchanged": (
        "garden-stool", 'places = ["left front", "left back", "right front", "right back"]',
        'places = ["right front", "right back", "left front", "left back"]',
        ("untrue-place", "leg-3 is “left front”, but lies right of leg-1"),
    ),
    "a mortise that takes nearly all of the stretcher": (
        "garden-stool", 'wide = "cross_thickness" }', 'wide = "stretcher" }',
        ("weakened", "end-stretcher-1"),
    ),
    "a seat held without a word about its moving": (
        "hall-bench", 'across = "room to move"\n', "",
        ("across-grain", "fix-seat holds"),
    ),
    "aprons set outside their legs": (
        "plant-stand", '"over frame_length - 2 * setback / cos(front)"', '"over frame_length + 90 mm"',
        ("gap", "short-apron-1"),
    ),
    "cleats that do not reach their aprons": (
        "plant-stand", "+ 2 * cleat * tan(front)", "+ 2 * cleat * tan(front) - 1 mm",
        ("gap", "short-apron-1 is to meet cleat-1"),
    ),
    "a bow that is bent the wrong way": (
        "laminated-footrest", 'bow = "rise"', 'bow = "-rise"',
        ("runs-through", "bundle-1 and leg-1"),
    ),
}  # fmt: skip
"""What is wrong: the recipe, what stands there, what stands there instead; the rule, and words of its sentence."""


def found(name, old="", new=""):
    """What the checker says of a shipped recipe with a fault in it."""
    text = (RECIPES / f"{name}.toml").read_text(encoding="utf-8")
    assert old in text
    return compile_text(text.replace(old, new, 1), f"{name}.toml", fragments=shipped_fragments()).findings


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(fault):
    name, old, new, (rule, words) = FAULTS[fault]

    assert [str(one) for one in found(name)] == []
    assert [str(one) for one in found(name, old, new) if one.rule == rule and words in one.what] != []
