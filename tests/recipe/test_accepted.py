"""Warnings that a recipe accepts, with the reason."""

import pytest
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.expansion import FragmentText
from benchbell.recipe.warning_rules import WARNINGS
from small_recipes import FIT, PARTS, compiled, glue, rules, work

SLOW = PARTS + work("plane", ["leg", "rail"]) + FIT + glue(spread="12 min")


def findings_of(text, **shop):
    """Grade, rule and reason of every finding."""
    return [(one.grade, one.rule, one.reason) for one in compiled(text, **shop).findings]


def accepting(text, of, line):
    """The text with `line` in the table that begins with `of`."""
    assert of in text
    return text.replace(of, f"{of}\n{line}", 1)


def test_an_accepted_warning_is_told_with_its_reason():
    text = accepting(SLOW, 'id = "glue"', 'accept = { "spread-too-long" = "Two of us do it." }')
    finding = compiled(text).findings[0]

    assert findings_of(text) == [("accepted", "spread-too-long", "Two of us do it.")]
    assert str(finding).startswith(f"small.toml:{finding.line}: accepted: Operation glue takes 12 min")
    assert str(finding).endswith("Accepted: Two of us do it.")


@pytest.mark.parametrize("of", ['title = "Stool"', 'id = "glue"'])
def test_the_whole_recipe_may_accept_it_too(of):
    assert findings_of(accepting(SLOW, of, 'accept = { "spread-too-long" = "Yes." }'))[0][0] == "accepted"


def test_the_nearer_reason_counts_and_the_further_one_accepts_nothing():
    text = accepting(SLOW, 'id = "glue"', 'accept = { "spread-too-long" = "Near." }')
    text = accepting(text, 'title = "Stool"', 'accept = { "spread-too-long" = "Far." }')

    assert findings_of(text) == [("warning", "accepts-nothing", ""), ("accepted", "spread-too-long", "Near.")]


def test_another_operation_cannot_accept_it():
    text = accepting(SLOW, 'id = "plane"', 'accept = { "spread-too-long" = "No." }')

    assert {(grade, rule) for grade, rule, _ in findings_of(text)} == {
        ("warning", "spread-too-long"),
        ("warning", "accepts-nothing"),
    }


def test_an_error_is_never_accepted():
    text = accepting(SLOW, 'id = "glue"', 'accept = { "already-joined" = "No." }')

    assert findings_of(text)[0][:2] == ("error", "unknown-name")


def test_after_an_error_nobody_knows_what_would_occur():
    text = accepting(SLOW, 'id = "plane"', 'accept = { "too-cold" = "It is heated." }')

    assert rules(text.replace('parts = ["leg", "rail"]', 'parts = ["lge"]', 1)) == ["unknown-name"]


@pytest.mark.parametrize(("clamps", "expected"), [({}, []), ({"band": 9}, ["accepts-nothing"])])
def test_clamps_that_are_not_counted_are_not_judged(clamps, expected):
    text = accepting(SLOW.replace("12 min", "3 min"), 'id = "glue"', 'accept = { "too-few-clamps" = "I borrow some." }')

    assert rules(text, clamps=clamps) == expected


def test_a_size_accepts_its_own():
    text = PARTS.replace("[[part]]", '[size]\nx = { plan = "2 mm", measure = "It." }\n\n[[part]]', 1)
    text += work("plane", ["leg", "rail"])

    assert rules(text) == ["not-measured"]
    text = text.replace('"It." }', '"It.", accept = { "not-measured" = "Later." } }')
    assert findings_of(text) == [("accepted", "not-measured", "Later.")]


def test_every_warning_says_what_it_warns_of():
    assert all(text[0].islower() and not text.endswith(".") for text in WARNINGS.values())


JOINT = SLOW.replace('title = "Stool"', 'title = "Joint"')
STOOL = """title = "Stool"
{accept}

[[use]]
fragment = "joint"
as = "left"

[[use]]
fragment = "joint"
as = "right"
"""
OWN = PARTS.partition("\n")[2] + work("plane", ["leg", "rail"])


def told_with(joint, accept=""):
    """Grade, rule, reason and user of every finding of a recipe that uses a fragment twice."""
    fragments = {"joint": FragmentText("joint.toml", joint)}
    text = STOOL.format(accept=accept) + OWN
    findings = compile_text(text, "stool.toml", fragments=fragments).findings
    return [(one.grade, one.rule, one.reason, [use.name for use in one.used_by]) for one in findings]


@pytest.mark.parametrize("of", ['title = "Joint"', 'id = "glue"'])
def test_what_a_fragment_accepts_is_accepted_wherever_it_is_used(of):
    joint = accepting(JOINT, of, 'accept = { "spread-too-long" = "Two of us." }')

    assert told_with(joint) == [("accepted", "spread-too-long", "Two of us.", [name]) for name in ("left", "right")]


def test_a_recipe_may_accept_the_warnings_of_its_fragments():
    accept = 'accept = { "spread-too-long" = "Far." }'
    near = accepting(JOINT, 'title = "Joint"', 'accept = { "spread-too-long" = "Near." }')

    assert {reason for _, _, reason, _ in told_with(JOINT, accept)} == {"Far."}
    assert {reason for grade, _, reason, _ in told_with(near, accept) if grade == "accepted"} == {"Near."}


def test_a_name_of_no_warning_stands_in_the_fragment():
    joint = accepting(JOINT, 'title = "Joint"', 'accept = { "spread-to-long" = "Yes." }')
    found = compile_text(
        STOOL.format(accept="") + OWN, "s.toml", fragments={"joint": FragmentText("joint.toml", joint)}
    )
    unknown = next(one for one in found.findings if one.rule == "unknown-name")

    assert (unknown.file, unknown.line, unknown.what.startswith("The fragment accepts")) == ("joint.toml", 2, True)


CHOICE = """
[choice.slowly]
ask = "Slowly?"
default = false
"""


@pytest.mark.parametrize(("answer", "grades"), [("yes", ["accepted"]), ("no", [])])
def test_nobody_is_told_to_take_out_what_other_answers_need(answer, grades):
    slow = glue(spread="12 min").replace('id = "glue"', 'id = "glue"\nwhen = "slowly"')
    fast = glue(spread="3 min").replace('id = "glue"', 'id = "glue"\nwhen = "not slowly"')
    text = PARTS + CHOICE + work("plane", ["leg", "rail"]) + FIT + slow + fast
    text = accepting(text, 'title = "Stool"', 'accept = { "spread-too-long" = "Two of us." }')

    assert [one.grade for one in compile_text(text, "stool.toml", chosen={"slowly": answer}).findings] == grades
