from benchbell.findings import Finding, use_one_of
from benchbell.recipe.finding_list import FindingList, shortened


def test_the_same_finding_is_kept_once():
    findings = FindingList("a.toml", {("part", 0): 7})
    for _ in range(2):
        findings.warn("unused", ("part", 0), "Part leg is worked by no operation.", "Take it out.")

    assert list(findings.found) == [
        Finding("warning", "unused", "a.toml", 7, "Part leg is worked by no operation.", "Take it out.")
    ]


def test_warnings_are_not_errors():
    findings = FindingList("a.toml")
    findings.warn("unused", (), "It is.", "Stop.")

    assert not findings.has_error
    findings.error("circle", (), "It is.", "Stop.")
    assert findings.has_error


def test_near_names_come_first():
    assert use_one_of("lge", ["rail", "leg", "legs", "edge"]) == "Did you mean leg?"


def test_of_many_names_the_first_are_listed():
    names = [f"x{n:02}" for n in range(20)]

    assert use_one_of("frame", names) == f"Use one of: {', '.join(names[:12])} …; all {len(names)} stand in the recipe."
    assert use_one_of("frame", names[:3]) == "Use one of: x00, x01, x02."


def test_where_there_is_no_name_it_says_so():
    assert use_one_of("frame", []) == "Add it first: there is none yet."


def test_a_long_text_is_cut():
    assert shortened("x" * 40) == "x" * 40
    assert shortened("x" * 41) == "x" * 39 + "…"
