import pytest
from benchbell.findings import Refused
from benchbell.recipe.lies_text import LiesText
from benchbell.recipe.placing_words import HOWS, WhereText, faces_in, lies_formulas, where_text


@pytest.mark.parametrize("word", HOWS)
def test_a_word_is_followed_by_a_formula(word):
    assert WhereText(word, "width - 2 * inset") == where_text(f"{word} width - 2 * inset", "x")


@pytest.mark.parametrize(
    ("text", "axis", "how", "formula"),
    [
        ("on leg", "z", "from", "leg.top"),
        ("under leg-3 - 2 mm", "z", "to", "leg-3.bottom - 2 mm"),
        ("behind back-rail + gap", "y", "from", "back-rail.back + gap"),
        ("before side", "y", "to", "side.front"),
        ("right of side-1", "x", "from", "side-1.right"),
        ("left of side", "x", "to", "side.left"),
    ],
)
def test_beside_a_part_is_from_or_to_its_face(text, axis, how, formula):
    found = where_text(text, axis)

    assert (how, formula) == (found.how, found.formula)


@pytest.mark.parametrize(
    ("text", "axis"),
    [("", "x"), ("over", "x"), ("overwidth", "x"), ("row 0 mm", "z"), ("on leg", "x"), ("on", "z"), ("on +", "z")],
)
def test_other_words_are_refused_with_a_next_step(text, axis):
    with pytest.raises(Refused) as refused:
        where_text(text, axis)

    assert refused.value.next_step.endswith((".", '"'))


def test_a_row_may_begin_at_a_place_on_any_axis():
    assert WhereText("row", "gap", start="leg.top + 2 mm") == where_text("row gap from leg.top + 2 mm", "z")


def test_faces_are_told_from_sizes_and_differences():
    assert ["front-rail-2", "leg"] == list(faces_in(["front-rail-2.top - side - leg.back", "rail - 2 * inset", "leg."]))


def test_every_formula_of_lies_is_known():
    lies = LiesText(
        way="zxy", x="over a", y=["from b", "to c"], z="row i from j", size=["d", "e", "f"], round="g", bow="h"
    )

    assert ["a", "b", "c", "i", "j", "d", "e", "f", "g", "h"] == list(lies_formulas(lies))
