from benchbell.recipe.pieces import letters
from small_recipes import FIT, LEGS, PARTS, RAIL, TITLE, compiled, glue, operations, sound, work

STOOL = PARTS + work("plane", ["leg", "rail"]) + FIT + glue()


def test_pieces_are_lettered_to_26():
    assert "".join(letters(26)) == "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    assert [finding.what for finding in compiled(STOOL, 27).findings] == ["A build has 1 to 26 pieces, not 27."]


def test_every_piece_has_its_own_parts_operations_and_assemblies():
    sheet = sound(STOOL, 26)

    assert len(sheet.parts) == 26 * 3
    assert len(sheet.operations) == 26 * 3
    assert [assembly.id for assembly in sheet.assemblies] == [f"{letter}/frame" for letter in letters(26)]
    assert sheet.assemblies[25].of == ("Z/leg-1", "Z/leg-2", "Z/rail")
    assert sheet.assemblies[25].by == "Z/glue"


def test_copies_are_numbered_and_one_alone_is_not():
    assert [part.id for part in sound(STOOL).parts] == ["A/leg-1", "A/leg-2", "A/rail"]
    assert [part.title for part in sound(STOOL).parts] == ["Leg 1", "Leg 2", "Rail"]


def test_a_name_stands_for_all_copies_and_a_numbered_one_for_one():
    text = PARTS + work("plane", ["leg", "rail"]) + work("mark", ["leg-2"])

    assert operations(text)["plane"].parts == ("A/leg-1", "A/leg-2", "A/rail")
    assert operations(text)["mark"].parts == ("A/leg-2",)


def test_a_part_made_once_serves_every_piece():
    form = LEGS.replace('"leg"', '"form"').replace("count = 2", "once = true")
    text = TITLE + LEGS + form + work("bend", ["leg", "form"])
    sheet = sound(text, 2)

    assert [part.id for part in sheet.parts if part.name == "form"] == ["form"]
    assert [op.parts for op in sheet.operations] == [("A/leg-1", "A/leg-2", "form"), ("B/leg-1", "B/leg-2", "form")]


def test_an_operation_done_once_takes_the_parts_of_all_pieces():
    text = PARTS + work("mill", ["leg-1", "rail"], "once = true") + work("plane", ["leg-2"])

    assert operations(text, 2)["mill"].parts == ("A/leg-1", "B/leg-1", "A/rail", "B/rail")


def test_places_go_to_copies_in_turn():
    text = (
        TITLE + LEGS.replace("count = 2", 'count = 2\nplaces = ["front", "back"]\nplace = "left"') + work("x", ["leg"])
    )

    assert [part.place for part in sound(text).parts] == ["front", "back"]


def test_mirrored_copies_are_left_and_right_in_turn():
    keys = 'count = 4\npair = "mirrored"\nmark = "face in"'
    text = TITLE + LEGS.replace("count = 2", keys) + work("x", ["leg"])

    assert [part.mark for part in sound(text).parts] == ["left, face in", "right, face in"] * 2


def test_other_material_may_have_fewer_than_three_sizes():
    text = TITLE + 'units = "in"\n' + RAIL.replace('"340 mm", "70 mm", "25 mm"', '"7 ft 1/2 in"')
    text = text.replace('stock = "white ash"', 'stock = "brass rod"\nmaterial = "other"') + work("saw", ["rail"])

    assert sound(text).parts[0].plan_mm == (84.5 * 25.4,)
