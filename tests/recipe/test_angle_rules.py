"""Slopes from the horizontal, leans from the vertical: which of them is asked about."""

import pytest
from small_recipes import PARTS, compiled, rules, work


@pytest.mark.parametrize(
    ("formula", "said"),
    [
        ("mitre_swing(4, 82 deg)", []),
        ("mitre_tilt(4, 45 deg)", []),
        ("mitre_tilt(4, 90 deg - splay)", []),
        ("butt_tilt(4, splay)", ["slope-or-lean"]),
        ("leg_lean(splay, 5 deg)", []),
        ("leg_lean(90 deg - splay, 5 deg)", ["slope-or-lean"]),
        ("2 * mitre_swing(6, 20 deg) - 1 deg", ["slope-or-lean"]),
        ("taper(20 mm, 600 mm)", []),
    ],
)
def test_what_lies_flatter_than_half_way_is_asked_about(formula, said):
    # Common practice, no source: a splayed side or leg leans by less than 45 degrees.
    sizes = f'[size]\nsplay = "8 deg"\nfound = "{formula}"\n'
    text = PARTS.replace("[[part]]", f"{sizes}\n[[part]]", 1) + work(
        "plane", ["leg", "rail"], 'show = ["splay", "found"]'
    )

    assert rules(text) == said


def test_an_angle_that_several_sizes_are_reckoned_from_is_told_once():
    sizes = '[size]\nsplay = "81 deg"\nlean = "leg_lean(splay, 5 deg)"\nsight = "leg_sight(splay, 5 deg)"\n'
    text = PARTS.replace("[[part]]", f"{sizes}\n[[part]]", 1) + work(
        "plane", ["leg", "rail"], 'show = ["lean", "sight"]'
    )
    [finding] = compiled(text).findings

    assert finding.what.endswith("upright, and has 81°; so it is with size sight.")
