"""Pieces that differ: a choice answered for one piece of a build."""

import pytest
from benchbell.bench.sizes import part_mm, set_values, sizes_of
from benchbell.recipe.compiler import compile_text
from shipped import FOLDER, compile_file

BENCH, CABINET = FOLDER / "hall-bench.toml", FOLDER / "wall-cabinet.toml"
HIGHER = {"B.height": "46 cm"}


def test_only_the_piece_that_differs_has_other_sizes():
    sheet = compile_file(BENCH, 3, chosen=HIGHER)
    legs = {part.id: part.plan_mm[0] for part in sheet.parts if part.name == "leg-1"}

    assert ({"A/leg-1": 420, "B/leg-1": 430, "C/leg-1": 420}, ()) == (legs, sheet.findings)
    assert {"B": "46 cm"} == next(one.by_piece for one in sheet.choices if one.name == "height")


def test_its_setup_is_another_one_and_the_station_is_set_again_for_it():
    sheet = compile_file(BENCH, 3, chosen=HIGHER)
    stops = [(op.id, op.setup, op.setup_minutes) for op in sheet.operations if op.name == "leg-length"]
    titles = {setup.id: setup.title for setup in sheet.setups}

    assert [
        ("A/leg-length", "leg-stop", 4),
        ("B/leg-length", "leg-stop-b", 4),
        ("C/leg-length", "leg-stop", 4),
    ] == stops
    assert "Leg length, piece B" == titles["leg-stop-b"]


def test_each_piece_is_what_a_build_of_its_own_with_its_answers_would_be():
    chosen = {"width": "52 cm", "B.width": "40 cm", "C.height": "60 cm"}
    together = compile_file(CABINET, 3, chosen=chosen)
    alone = {
        "A": compile_file(CABINET, chosen={"width": "52 cm"}),
        "B": compile_file(CABINET, chosen={"width": "40 cm"}),
        "C": compile_file(CABINET, chosen={"width": "52 cm", "height": "60 cm"}),
    }

    assert together.findings == ()
    for piece, sheet in alone.items():
        assert worked(together, piece) == worked(sheet, "A")


def worked(sheet, piece):
    """What the parts and setups of a piece come to, as built as drawn: by the part's or operation's name."""
    sizes = sizes_of(sheet, {}, piece)
    parts = {part.name: part_mm(part, sizes) for part in sheet.parts if part.piece == piece}
    setups = {setup.id: setup for setup in sheet.setups}
    operations = [op for op in sheet.operations if op.piece == piece]
    set_to = {op.name: set_values(setups[op.setup], sizes) for op in operations if op.setup}
    shown = {op.name: [round(sizes[name].value, 6) for name in (*op.measure, *op.sizes)] for op in operations}
    return rounded(parts), rounded({name: tuple(values.values()) for name, values in set_to.items()}), shown


def rounded(values):
    """Values without their last bits."""
    return {name: tuple(round(value, 6) for value in several) for name, several in values.items()}


def test_pieces_with_the_same_answers_share_setups():
    sheet = compile_file(BENCH, 3, chosen={"B.height": "46 cm", "C.height": "46 cm"})

    assert ["leg-stop", "leg-stop-b"] == [setup.id for setup in sheet.setups if "leg-stop" in setup.id]
    assert "Leg length, pieces B, C" == next(setup.title for setup in sheet.setups if setup.id == "leg-stop-b")


def test_what_is_measured_on_the_piece_replaces_its_own_size():
    sheet = compile_file(CABINET, 2, chosen={"B.width": "40 cm"})

    assert {"opening", "opening_b"} <= {size.name for size in sheet.sizes if size.measure}
    assert {"opening_b"} == {
        name
        for op in sheet.operations
        if op.piece == "B"
        for name in op.measure
        if "width" not in name and "height" not in name
    }


def test_wood_and_material_are_counted_by_piece():
    text = """title = "Stool"

[choice.wood]
ask = "Which wood?"
default = "white ash"

[[part]]
id = "leg"
stock = "{wood}"
size = ["420 mm", "40 mm", "40 mm"]

[[operation]]
id = "plane"
parts = ["leg"]
do = "Plane it."
"""
    sheet = compile_text(text, "stool.toml", 2, chosen={"B.wood": "white oak"})

    assert [("white ash", 1), ("white oak", 1)] == [(row.stock, row.parts) for row in sheet.materials]


@pytest.mark.parametrize(
    ("chosen", "what"),
    [
        ({"B.length": "1200 mm"}, "Piece B: these answers change which parts there are: slat-14."),
        ({"B.height": "455 mm"}, "Piece B: Choice height: 455 mm is not in steps of 10 mm from 400 mm."),
        ({"D.height": "46 cm"}, "The build has no piece D."),
    ],
)
def test_what_cannot_be_said_is_a_finding_that_names_the_piece(chosen, what):
    assert what in [finding.what for finding in compile_file(BENCH, 3, chosen=chosen).findings]
