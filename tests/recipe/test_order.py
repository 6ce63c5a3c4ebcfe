from itertools import pairwise

from benchbell.recipe.compiler import compile_text
from benchbell.recipe.holds import contents_of
from hypothesis import given
from hypothesis import strategies as st
from random_recipes import recipes
from small_recipes import PARTS, work


def ordered(text, pieces=1):
    """Ids of a recipe's operations in the sheet's order."""
    return [op.id for op in compile_text(text, "order.toml", pieces).operations]


def test_operations_on_a_part_follow_each_other_as_written():
    text = PARTS + work("plane", ["leg"]) + work("mortise", ["leg"]) + work("tenon", ["rail"])

    assert ordered(text) == ["A/plane", "A/mortise", "A/tenon"]


def test_after_moves_an_operation_behind_another():
    text = PARTS + work("tenon", ["rail"], 'after = ["mortise"]') + work("mortise", ["leg"])

    assert ordered(text) == ["A/mortise", "A/tenon"]


def test_the_same_operation_is_done_on_all_pieces_before_the_setup_is_changed():
    text = PARTS + work("mortise", ["leg"]) + work("tenon", ["rail"])

    assert ordered(text, 3) == ["A/mortise", "B/mortise", "C/mortise", "A/tenon", "B/tenon", "C/tenon"]


def test_what_is_done_once_comes_before_and_after_every_piece():
    text = (
        PARTS + work("mill", ["leg"], "once = true") + work("mortise", ["leg"]) + work("sand", ["leg"], "once = true")
    )
    operations = {op.id: op for op in compile_text(text, "order.toml", 2).operations}

    assert list(operations) == ["mill", "A/mortise", "B/mortise", "sand"]
    assert operations["A/mortise"].after == ("mill",)
    assert operations["sand"].after == ("A/mortise", "B/mortise")


def test_an_assembly_takes_the_place_of_its_parts():
    text = PARTS + work("join", ["leg", "rail"], 'makes = "frame"') + work("sand", ["frame"])
    operations = {op.id: op for op in compile_text(text, "order.toml").operations}

    assert operations["A/sand"].after == ("A/join",)


def test_coats_follow_each_other():
    text = PARTS + work("plane", ["leg", "rail"]) + work("oil", ["leg"], 'coat = { with = "shellac", coats = 3 }')
    operations = {op.id: op for op in compile_text(text, "order.toml").operations}

    assert operations["A/oil-2"].after == ("A/oil-1",)
    assert operations["A/oil-3"].after == ("A/oil-2",)
    assert operations["A/oil-3"].title == "Oil, coat 3 of 3"


def test_after_a_coated_operation_means_after_its_last_coat():
    coats = work("oil", ["leg"], 'coat = { with = "shellac", coats = 2 }')
    text = PARTS + coats + work("pack", ["rail"], 'after = ["oil"]')
    operations = {op.id: op for op in compile_text(text, "order.toml").operations}

    assert operations["A/pack"].after == ("A/oil-2",)


@given(recipes(), st.integers(1, 3))
def test_every_operation_stands_behind_all_that_come_before_it(text, pieces):
    sheet = compile_text(text, "random.toml", pieces)
    place = {op.id: n for n, op in enumerate(sheet.operations)}

    assert not [finding for finding in sheet.findings if finding.grade == "error"]
    assert len(place) == len(sheet.operations)
    for op in sheet.operations:
        assert all(place[earlier] < place[op.id] for earlier in op.after)


@given(recipes(), st.integers(1, 3))
def test_work_on_a_part_is_one_chain_in_the_files_order(text, pieces):
    sheet = compile_text(text, "random.toml", pieces)
    contents = contents_of(sheet.parts, sheet.assemblies)
    for part in sheet.parts:
        through = [op for op in sheet.operations if any(part.id in contents[one] for one in op.parts)]

        assert through == sorted(through, key=lambda op: op.line)
        for earlier, later in pairwise(through):
            assert earlier.id in later.after
