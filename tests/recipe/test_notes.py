from benchbell.findings import Finding
from benchbell.recipe.notes import Notes, shortened, use_one_of


def test_the_same_said_twice_is_said_once():
    notes = Notes("a.toml", {("part", 0): 7})
    for _ in range(2):
        notes.warn("unused", ("part", 0), "Part leg is worked by no operation.", "Take it out.")

    assert list(notes.findings) == [
        Finding("warning", "unused", "a.toml", 7, "Part leg is worked by no operation.", "Take it out.")
    ]


def test_warnings_leave_a_recipe_sound_and_errors_do_not():
    notes = Notes("a.toml")
    notes.warn("unused", (), "It is.", "Stop.")

    assert notes.sound
    notes.error("circle", (), "It is.", "Stop.")
    assert not notes.sound


def test_near_names_come_first():
    assert use_one_of("lge", ["rail", "leg", "legs", "edge"]) == "Use one of: leg."


def test_of_many_names_some_are_told():
    names = [f"x{n:02}" for n in range(20)]

    assert use_one_of("frame", names) == f"Use one of: {', '.join(names[:12])}, …"
    assert use_one_of("frame", names[:3]) == "Use one of: x00, x01, x02."


def test_where_there_is_no_name_it_says_so():
    assert use_one_of("frame", []) == "There is none yet: add it first."


def test_a_long_text_is_cut():
    assert shortened("x" * 40) == "x" * 40
    assert shortened("x" * 41) == "x" * 39 + "…"
