"""Which words explain that two parts share room at a corner or in a leg, and what needs none."""

from pathlib import Path

import pytest
from small_recipes import rules

BAD = Path(__file__).parent / "bad"
CORNER = (BAD / "runs-through.corner.toml").read_text(encoding="utf-8")
TENONS = (BAD / "runs-through.tenons.toml").read_text(encoding="utf-8")
PLANE = "Plane all faces."


@pytest.mark.parametrize(
    "words", ["Cut the dovetails.", "Saw the finger joints.", "Half-lap the ends.", "Saw a rabbet in both ends."]
)
def test_a_joint_that_is_told_explains_a_corner(words):
    assert rules(CORNER.replace(PLANE, f"{PLANE} {words}")) == []


def test_a_mitre_that_is_told_and_not_drawn_explains_nothing():
    assert rules(CORNER.replace(PLANE, f"{PLANE} Mitre the ends.")) == ["runs-through"]


def test_of_mitred_parts_only_what_shares_all_its_room_explains_a_corner():
    both = CORNER.replace(f'"{PLANE}"', f'["{PLANE}", "Rabbet the back edges.", "Mitre the ends."]')

    assert rules(both) == ["runs-through"]
    assert rules(both.replace(PLANE, "Half-lap the ends.")) == []


def test_ends_that_butt_or_are_narrower_are_no_corner_that_both_fill():
    assert rules(CORNER.replace('"400 mm", "100 mm"', '"360 mm", "100 mm"')) == []
    assert rules(CORNER.replace('"400 mm", "100 mm"', '"400 mm", "90 mm"')) == []


@pytest.mark.parametrize("words", ["Mitre their ends.", "Notch one for the other.", "They meet in the leg."])
def test_it_may_be_told_how_tenons_meet(words):
    assert rules(TENONS.replace("cut the tenons.", f"cut the tenons. {words}")) == []


def test_short_tenons_miss_each_other():
    assert rules(TENONS.replace('"30 mm", thick', '"14 mm", thick').replace("from 10 mm", "from 26 mm")) == []
