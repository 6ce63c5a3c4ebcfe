from small_recipes import FIT, PARTS, compiled, glue, operations, sound, work

STOOL = PARTS + work("plane", ["leg", "rail"]) + FIT + glue()


def test_glue_ups_stand_one_inside_the_other():
    text = STOOL + work("seat", ["frame"], 'makes = "stool"') + work("look", ["stool"])
    sheet = sound(text)

    assert [(one.id, one.of) for one in sheet.assemblies] == [
        ("A/frame", ("A/leg-1", "A/leg-2", "A/rail")),
        ("A/stool", ("A/frame",)),
    ]
    assert operations(text)["look"].after == ("A/seat",)


def test_an_assembly_has_the_place_its_operation_names():
    text = STOOL.replace('makes = "frame"', 'makes = "frame"\nplace = "left end"')

    assert sound(text).assemblies[0].place == "left end"


def test_an_assembly_made_once_holds_the_parts_of_all_pieces():
    text = PARTS + work("plane", ["leg", "rail"]) + work("bundle", ["leg"], 'once = true\nmakes = "bundle"')
    sheet = sound(text + work("open", ["bundle"], "once = true"), 2)

    assert sheet.assemblies[0].id == "bundle"
    assert sheet.assemblies[0].of == ("A/leg-1", "A/leg-2", "B/leg-1", "B/leg-2")


def test_joined_parts_are_told_in_one_sentence_however_many():
    text = STOOL + work("sand", ["leg", "rail"])

    assert [finding.rule for finding in compiled(text, 3).findings] == ["already-joined"]


def test_a_part_named_twice_is_worked_once():
    assert operations(PARTS + work("plane", ["leg", "leg-1", "rail"]))["plane"].parts == (
        "A/leg-1",
        "A/leg-2",
        "A/rail",
    )


def test_an_unknown_name_that_begins_like_an_assembly_is_told_the_assembly_first():
    text = STOOL.replace('makes = "frame"', 'makes = "rail-base"')
    (finding,) = [one for one in compiled(text + work("sand", ["rail-rail"])).findings if one.rule == "unknown-name"]
    (slip,) = [one for one in compiled(text + work("sand", ["rial-base"])).findings if one.rule == "unknown-name"]

    assert finding.next_step.startswith("Did you mean rail-base")
    assert slip.next_step.startswith("Did you mean rail-base")
