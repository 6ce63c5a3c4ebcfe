"""Which words run a rabbet or moulding and which mitre, and that the rabbet comes first."""

import pytest
from small_recipes import LEGS, RAIL, TITLE, rules, work

MITRE = "Mitre both ends."


def said(first, second, parts=("rail",)):
    """The rules that have something to say about two operations in this order."""
    steps = work("first", ["rail"]).replace("Do it.", first) + work("second", parts).replace("Do it.", second)
    return rules(TITLE + LEGS + RAIL + work("plane", ["leg"]) + steps)


@pytest.mark.parametrize(
    "run",
    [
        "Rabbet the back edges.",
        "Plane the face, then rebate the back.",
        "Cut the rabbet for the glass.",
        "Rout a cove and run the moulding along the front.",
    ],
)
@pytest.mark.parametrize("mitre", [MITRE, "Saw the mitres at 45 deg.", "Trim to length: miter the left end."])
def test_a_rabbet_is_run_before_the_mitres(run, mitre):
    assert said(mitre, run) == ["mitred-first"]
    assert said(run, mitre) == []


@pytest.mark.parametrize(
    "words",
    [
        "Lay the glass into the rabbets.",
        "Cut the pins for the back; it lies in the rabbet.",
        "Plane the edge flush with the moulding.",
        "Cut the back to fit into the rabbets.",
    ],
)
def test_what_only_names_a_rabbet_runs_none(words):
    assert said(MITRE, words) == []


@pytest.mark.parametrize(
    "words", ["Cut to length at the mitre saw.", "Set the mitre gauge to 90 deg.", "Cut mitre keys."]
)
def test_what_only_names_a_mitre_mitres_nothing(words):
    assert said(words, "Rabbet the back edges.") == []


def test_an_operation_that_does_both_knows_its_order():
    assert said("Rabbet the back edges, then mitre the ends.", "Cut the rabbet a little deeper.") == []


def test_other_parts_may_be_rabbeted_later():
    assert said(MITRE, "Rabbet the back edges.", ["leg"]) == []
