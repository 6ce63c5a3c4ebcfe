"""Solid wood held across its grain: a usual tenon needs no word, and what is named is what the glue-up holds."""

from pathlib import Path

import pytest
from benchbell.recipe.compiler import compile_text

WIDE_TENON = (Path(__file__).parent / "bad" / "across-grain.tenon.toml").read_text(encoding="utf-8")
FIXED = 'across = "fixed"\nmakes = "frame"'


def said(tenon, across=""):
    """What the checker says of a rail whose tenon is so wide, glued with or without a word about room."""
    text = WIDE_TENON.replace('wide = "180 mm"', f'wide = "{tenon}"')
    return [
        str(one) for one in compile_text(text.replace('makes = "frame"', across or 'makes = "frame"'), "x").findings
    ]


@pytest.mark.parametrize("across", ["", FIXED])
def test_a_tenon_of_usual_width_is_glued_whole_without_a_word(across):
    assert said("100 mm", across) == []


@pytest.mark.parametrize("across", ["", FIXED])
def test_a_wider_tenon_is_told_what_fits_a_tenon(across):
    (one,) = said("180 mm", across)

    assert "rail" in one and "180 mm" in one and "Glue only the upper half of the tenon" in one
