"""Every finding by a bad recipe that gives exactly it.

tests/recipe/bad/RULE.toml or RULE.CASE.toml begin with what the checker says: `#= grade, line n: sentence`, in the
order in which it says it; in a fragment `line n of FILE, used in line n`. `#? pieces = …`, `#? shop.… = …` and
`#? chosen."…" = …` tell for what build and shop, and with what chosen, it is compiled. Its fragments are those in
bad/fragments and the shipped ones.
"""

import ast
import re
import tomllib
from pathlib import Path

import msgspec
import pytest
from benchbell.fragment_files import FragmentFiles, short_name
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.shop_profile import ShopProfile
from benchbell.recipe.warning_rules import WARNINGS
from msgspec.structs import replace

ROOT = Path(__file__).parents[2]
ROOM = ROOT / "backend/benchbell/recipe"
BAD_FOLDER = Path(__file__).parent / "bad"
BAD = sorted(BAD_FOLDER.glob("*.toml"))

SAYING = frozenset({"error", "warn", "warn_coat", "warn_part", "add_refusal"})
"""The functions that add a finding."""

NOT_A_FILE = {"too-long"}
"""Rules shown in test_read, where a text is made up that nobody would want to read."""


def found(text):
    """What the checker says about a bad recipe: sentences as they are written at its top, and rules."""
    asked = tomllib.loads("\n".join(re.findall(r"^#\? (.*)$", text, re.MULTILINE)))
    shop = msgspec.convert(asked.get("shop", {}), ShopProfile)
    fragments = FragmentFiles((BAD_FOLDER, ROOT / "recipes"), short_name)
    return compile_text(text, "bad.toml", asked.get("pieces", 1), shop, asked.get("chosen", {}), fragments).findings


def place(finding):
    """Where a finding is, in words."""
    used = "".join(f" of {finding.file}, used in line {use.line}" for use in finding.used_by[-1:])
    return f"line {finding.line}{used}"


@pytest.mark.parametrize("file", BAD, ids=lambda file: file.stem)
def test_it_says_this_and_nothing_else(file):
    text = file.read_text(encoding="utf-8")
    said = [f"{finding.grade}, {place(finding)}: {finding.what} {finding.next_step}" for finding in found(text)]

    assert re.findall(r"^#= (.*)$", text, re.MULTILINE) == said


@pytest.mark.parametrize("file", BAD, ids=lambda file: file.stem)
def test_the_file_is_named_for_its_rule(file):
    rules = {finding.rule for finding in found(file.read_text(encoding="utf-8"))}

    assert {file.stem.partition(".")[0]} == rules


def rules_said(calls=SAYING):
    """Every rule's name that a call in the room gives to a finding; two modules only pass a name on."""
    for file in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in calls:
                names = {one.value for one in ast.walk(node.args[0]) if isinstance(one, ast.Constant)}

                assert names or file.stem in {"finding_list", "rule_context"}, f"{file.name}: write the rule's name out"
                yield from names


def test_every_rule_has_a_bad_recipe():
    assert set(rules_said()) - NOT_A_FILE == {file.stem.partition(".")[0] for file in BAD}


def test_every_warning_can_be_accepted_but_that_it_accepts_nothing():
    assert set(rules_said({"warn", "warn_coat", "warn_part"})) - {"accepts-nothing"} == set(WARNINGS)


@pytest.mark.parametrize("file", BAD, ids=lambda file: file.stem)
def test_sentences_are_whole(file):
    for finding in found(file.read_text(encoding="utf-8")):
        assert finding.what.endswith(".")
        assert finding.next_step.endswith((".", "?", '"'))
        assert len(str(replace(finding, used_by=()))) < 300
