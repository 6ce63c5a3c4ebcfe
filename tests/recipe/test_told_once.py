"""What follows from one slip is one warning."""

from benchbell.findings import Use
from benchbell.recipe.finding_list import FindingList, Slip
from benchbell.recipe.told_once import listed, tell_once


def told(*slips):
    """The sentences of warnings with these slips, one a place, after they are told once."""
    findings = FindingList("x.toml")
    for number, slip in enumerate(slips):
        findings.warn("cut-before", ("part", number), f"Part {number} is short.", f"Move {number}.", slip=slip)
    tell_once(findings)
    return [f"{one.what} {one.next_step}" for one in findings.found]


def test_names_are_told_once_and_the_last_next_step_is_for_all():
    assert told(Slip("saw", ("round", "a")), Slip("saw", ("round", "b")), Slip("saw", ("cove", "a"))) == [
        "Part 0 is short; so it is with b and cove. Move 2."
    ]


def test_other_slips_and_warnings_without_one_stay_as_they_are():
    assert told(Slip("saw", ("a",)), None, Slip("plane", ("b",)), None) == [
        f"Part {number} is short. Move {number}." for number in range(4)
    ]


def test_uses_of_a_fragment_are_told_by_themselves():
    findings = FindingList("x.toml")
    for line in (3, 4):
        of_use = FindingList("drawer.toml", used_by=(Use("drawer", "x.toml", line),))
        findings.places[("part", line)] = of_use, ("part", 0)
        of_use.found = findings.found
        findings.warn("cut-before", ("part", line), "Part a is short.", "Move it.", slip=Slip("saw", ("a",)))
    tell_once(findings)

    assert len(findings.found) == 2


def test_of_many_names_it_says_how_many_more():
    assert listed(["a"]) == "a"
    assert listed([*"abcdef"]) == "a, b, c, d, e and f"
    assert listed([*"abcdefg"]) == "a, b, c, d, e and 2 more"
