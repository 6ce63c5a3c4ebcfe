"""Parts from one board: their order, the board's size, the step that marks it, labels and the cutting list."""

import pytest
from benchbell.commands.board_lines import board_lines
from benchbell.commands.cutting_list import cutting_list_lines
from benchbell.recipe.board_order import KERF_MM, places_on_boards, runs
from benchbell.recipe.compiler import compile_text
from benchbell.recipe.expansion import FragmentText
from benchbell.trade.timber import MM_PER_INCH
from small_recipes import TITLE, operations, sound, work

SIDE = """
[[part]]
id = "side"
count = 2
stock = "white oak"
size = ["400 mm", "120 mm", "15 mm"]
board = "side-run"
"""
END = """
[[part]]
id = "end"
count = 3
stock = "white oak"
size = ["250 mm", "100 mm", "15 mm"]
board = "side-run"
"""
LEAF = """
[[part]]
id = "leaf"
count = 4
stock = "white oak"
size = ["600 mm", "150 mm", "8 mm"]
board = "doors"
match = "book"
"""
MEASURE = work("measure", ["side", "end"])
CROSSCUT = work("crosscut", ["side", "end"], 'station = "mitre saw"\nneeds = ["sled"]')
RESAW = work("resaw", ["leaf"], 'station = "band saw"\nneeds = ["sled"]')
RUN = TITLE + SIDE + END + MEASURE + CROSSCUT


def test_a_board_has_its_parts_in_the_files_order_and_the_saw_cuts_between():
    (board,) = sound(RUN).boards

    assert (board.id, board.title, board.match) == ("A/side-run", "Side run", "sequence")
    assert board.of == ("A/side-1", "A/side-2", "A/end-1", "A/end-2", "A/end-3")
    # by hand: 2 × (400 + 25) + 3 × (250 + 25) and 4 saw cuts; the widest is 120 + 6; 15 mm is planed from 4/4
    assert board.rough_mm == (850 + 825 + 4 * KERF_MM, 126, pytest.approx(MM_PER_INCH))


def test_each_piece_has_its_own():
    assert [board.id for board in sound(RUN, 2).boards] == ["A/side-run", "B/side-run"]


def test_leaves_of_solid_wood_are_resawn_two_from_each_length():
    (board,) = sound(TITLE + LEAF + RESAW).boards

    # by hand: two lengths of 600 + 25 and a saw cut; 2 × 8 mm and 5 mm for resawing are 21 mm, which 5/4 gives
    assert board.match == "book"
    assert board.rough_mm == (1250 + KERF_MM, 156, pytest.approx(1.25 * MM_PER_INCH))


def test_leaves_that_are_thin_already_are_as_large_as_one():
    veneer = LEAF.replace("size", 'material = "other"\nsize')
    (board,) = sound(TITLE + veneer + work("join", ["leaf"])).boards

    assert board.rough_mm == (600, 150, 8)


def test_the_order_is_marked_before_the_operation_that_cuts_it_first():
    done = operations(RUN)

    assert sound(RUN).boards[0].by == "A/crosscut"
    assert done["measure"].do == ("Do it.",)
    assert done["crosscut"].do == (
        "Before the saw, mark the order on the board for the side run: Side 1, Side 2, End 1 to 3. "
        "Chalk a triangle across them all.",
        "Do it.",
    )


def test_what_keeps_the_board_in_one_length_does_not_mark_it():
    """Chalk from the resawing would be planed off, and the order is known as long as the board is whole."""
    resaw = work("resaw", ["side", "end"], 'station = "band saw"\nrough = true\nto_size = ["width"]')
    plane = work("plane", ["side", "end"], 'station = "planer"\nin_lengths = "1700 mm"\nto_size = ["thickness"]')
    rout = work("rout", ["side", "end"], 'station = "router table"\nin_lengths = "1700 mm"')
    done = operations(TITLE + SIDE + END + resaw + plane + rout + CROSSCUT)

    assert [id for id, op in done.items() if any("mark the order" in text for text in op.do)] == ["crosscut"]
    assert not any("Planing" in text for text in done["crosscut"].do)


def test_work_in_lengths_at_a_saw_does_not_mark_it():
    rip = work("rip", ["side", "end"], 'station = "table saw"\nin_lengths = "1700 mm"')

    assert sound(TITLE + SIDE + END + rip + CROSSCUT).boards[0].by == "A/crosscut"


def test_where_they_are_planed_after_that_the_ends_are_numbered_too():
    plane = work("plane", ["side", "end"], 'station = "planer"\nneeds = ["carrier"]')
    first, _ = operations(RUN + plane)["crosscut"].do

    assert first == (
        "Before the saw, mark the order on the board for the side run: Side 1, Side 2, End 1 to 3. Chalk a triangle "
        "across them all. Planing takes it off the faces: number each part on an end too, as it comes off the saw."
    )


def test_what_comes_from_a_board_has_no_rough_size_of_its_own_in_the_cutting_list():
    alone = SIDE.replace('"side"', '"lid"').replace('board = "side-run"', "")
    rows = [line for line in cutting_list_lines(sound(RUN + alone + work("plane-lid", ["lid"]))) if " × " in line]

    assert [line.split()[2] for line in rows if "rough" in line] == ["Lid"]
    assert any("Side" in line for line in rows)


def test_work_once_for_all_pieces_marks_boards_that_are_alike_in_one_step():
    once = RUN.replace("needs", "once = true\nneeds").replace(MEASURE, "")

    assert len(operations(once, 3)["crosscut"].do) == 2


def test_leaves_are_numbered_before_they_are_resawn():
    first, _ = operations(TITLE + LEAF + RESAW)["resaw"].do

    assert first == (
        "Before it is resawn, number the leaves of the doors at one end and chalk a triangle across that end: "
        "Leaf 1 with Leaf 2; Leaf 3 with Leaf 4. Open each pair like a book."
    )


def test_where_nothing_cuts_the_first_work_on_its_parts_marks_it():
    assert sound(TITLE + SIDE + END + MEASURE).boards[0].by == "A/measure"


def test_a_part_knows_its_place_on_the_board():
    places = places_on_boards(sound(RUN).boards)

    assert places["A/end-1"] == "3 of 5 from the side run"


def test_the_cutting_list_has_the_board_with_its_parts_in_order():
    assert list(board_lines(sound(RUN + LEAF + RESAW, 2))) == [
        "Of these, from one board each, in this order. Rough is the length × width × thickness of the board.",
        "    2 × Side run: white oak, rough 1691 × 126 × 25.4 mm",
        "        Side 1, Side 2, End 1 to 3",
        "    2 × Doors: white oak, rough 1254 × 156 × 31.8 mm",
        "        Leaf 1 to 4; opened like a book in pairs",
    ]


def test_its_rows_say_where_they_come_from():
    rows = {row.part: row.note for row in sound(RUN + LEAF + RESAW).cutting_list}

    assert rows["side"] == "from the board for the side run"
    assert rows["leaf"] == "opened like a book, from the board for the doors"


def test_a_piece_with_choices_of_its_own_has_a_board_of_its_own_size():
    chosen = '\n[choice.wide]\nask = "How wide?"\ndefault = "120 mm"\n'
    text = TITLE + chosen + SIDE.replace('"120 mm"', '"wide"') + work("crosscut", ["side"])
    sheet = compile_text(text, "small.toml", 2, chosen={"B.wide": "150 mm"})

    assert [board.rough_mm[1] for board in sheet.boards] == [126, 156]


def test_a_fragment_used_twice_has_two_boards():
    fragment = TITLE + SIDE + END + CROSSCUT.replace("needs", "to_size = ['length']\nneeds")
    uses = "".join(f'\n[[use]]\nfragment = "box"\nas = "{name}"\n' for name in ("upper", "lower"))
    text = TITLE + '\n[[part]]\nid = "lid"\nstock = "white oak"\nsize = ["400 mm", "120 mm", "15 mm"]\n'
    sheet = compile_text(
        text + uses + work("plane", ["lid"]), "small.toml", fragments={"box": FragmentText("box.toml", fragment)}
    )

    assert [str(one) for one in sheet.findings] == []
    assert [board.id for board in sheet.boards] == ["A/upper-side-run", "A/lower-side-run"]


@pytest.mark.parametrize(
    ("titles", "told"),
    [
        (["Leg 1", "Leg 2"], ["Leg 1", "Leg 2"]),
        (["Leg 1", "Leg 2", "Leg 3", "Rail"], ["Leg 1 to 3", "Rail"]),
        (["Leg 1", "Leg 3", "Leg 2"], ["Leg 1", "Leg 3", "Leg 2"]),
        (["Rail", "Rail 2"], ["Rail", "Rail 2"]),
        ([], []),
    ],
)
def test_long_runs_of_copies_are_told_as_one(titles, told):
    assert runs(titles) == told
