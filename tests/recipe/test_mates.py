from benchbell.recipe.sheet import Mate
from small_recipes import FIT, LEGS, RAIL, TITLE, glue, sound, work

PLANE = work("plane", ["leg", "rail"])


def mates(leg_mates, rail_mates="[]", more="", pieces=1):
    """What each part meets, by id."""
    legs, rail = (
        text.replace("stock", f"mates = {own}\nstock") for text, own in ((LEGS, leg_mates), (RAIL, rail_mates))
    )
    return {part.id: part.mates for part in sound(TITLE + legs + rail + PLANE + more, pieces).parts}


def test_a_mate_is_told_on_both_sides_of_the_joint():
    found = mates('[{ n = 1, end = "top mortise", to = "rail", at = "left tenon" }]')

    assert found == {
        "A/leg-1": (Mate("top mortise", "A/rail", "left tenon"),),
        "A/leg-2": (),
        "A/rail": (Mate("left tenon", "A/leg-1", "top mortise"),),
    }


def test_a_joint_written_on_both_sides_is_told_as_written():
    found = mates(
        '[{ n = 1, end = "mortise", to = "rail", at = "left" }]',
        '[{ end = "left tenon", to = "leg-1", at = "mortise" }]',
    )

    assert found["A/rail"] == (Mate("left tenon", "A/leg-1", "mortise"),)


def test_a_name_for_several_copies_meets_them_all():
    found = mates("[]", '[{ end = "tenons", to = "leg" }]')

    assert found["A/rail"] == (Mate("tenons", "A/leg-1"), Mate("tenons", "A/leg-2"))
    assert found["A/leg-2"] == (Mate("", "A/rail", "tenons"),)


def test_a_part_may_meet_an_assembly_made_further_down():
    shelf = RAIL.replace('"rail"', '"shelf"').replace("stock", 'mates = [{ end = "edge", to = "frame" }]\nstock')
    parts = sound(TITLE + LEGS + RAIL + shelf + PLANE + FIT + glue() + work("lay", ["frame", "shelf"])).parts

    assert parts[-1].mates == (Mate("edge", "A/frame"),)


def test_pieces_do_not_meet_each_other():
    found = mates('[{ n = 2, end = "mortise", to = "rail" }]', pieces=2)

    assert found["B/leg-2"] == (Mate("mortise", "B/rail"),)
    assert found["B/rail"] == (Mate("", "B/leg-2", "mortise"),)
