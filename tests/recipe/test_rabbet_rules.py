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


def titled(title, mitring):
    """What is said when an operation whose steps say nothing has that title, or its setup, after or before mitring."""
    setup = f'\n[[setup]]\nid = "x"\ntitle = "{title}"\nstation = "router table"\nprove = "On scrap."\n'
    mitre = work("mitre", ["rail"]).replace("Do it.", MITRE)
    rabbet = work("rabbet", ["rail"]).replace("Do it.", "Rabbet the back edges.")
    found = []
    for keys, before in ((f'title = "{title}"', ""), ('setup = "x"', setup)):
        step = work("step", ["rail"], keys)
        steps = step + rabbet if mitring else mitre + step
        found += rules(TITLE + LEGS + RAIL + before + work("plane", ["leg"]) + steps)
    return found


@pytest.mark.parametrize("title", ["Rabbet for the glass", "Rebates"])
def test_a_title_of_an_operation_or_its_setup_tells_of_a_rabbet(title):
    assert set(titled(title, mitring=False)) == {"mitred-first"}


@pytest.mark.parametrize("title", ["Mitre the ends", "Mitre"])
def test_a_title_of_an_operation_or_its_setup_tells_of_mitres(title):
    assert titled(title, mitring=True) == ["mitred-first"] * 2


@pytest.mark.parametrize("title", ["Panel for the rabbet", "In rabbets", "Flat bits", "Square the rabbets"])
def test_a_title_that_only_names_a_rabbet_runs_none(title):
    assert titled(title, mitring=False) == []


@pytest.mark.parametrize("title", ["Keys across the mitres", "Mitre saw stop", "Mitre keys"])
def test_a_title_that_only_names_a_mitre_mitres_nothing(title):
    assert titled(title, mitring=True) == []


def test_an_operation_that_does_both_knows_its_order():
    assert said("Rabbet the back edges, then mitre the ends.", "Cut the rabbet a little deeper.") == []


def test_other_parts_may_be_rabbeted_later():
    assert said(MITRE, "Rabbet the back edges.", ["leg"]) == []
