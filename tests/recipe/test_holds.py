from benchbell.recipe.compiler import compile_text
from benchbell.recipe.holds import contents_of
from benchbell.recipe.sheet import ClockHold
from benchbell.trade.stations import station_named
from hypothesis import given
from hypothesis import strategies as st
from random_recipes import recipes
from small_recipes import FIT, PARTS, glue, operations, work

FRAME = PARTS + FIT + glue()


def holds(text):
    """By operation's name, what it is held by."""
    return {name: op.holds for name, op in operations(text).items()}


def test_a_machine_waits_until_the_joint_has_rested():
    text = FRAME + work("trim", ["frame"], 'station = "table saw"')

    assert holds(text)["trim"] == (ClockHold("A/glue", "rest"),)


def test_handwork_does_not_wait_for_that():
    text = FRAME + work("pare", ["frame"], 'station = "hand tools"')

    assert holds(text)["pare"] == ()


def test_a_panel_rests_before_any_tool_planes_it():
    # Wood Handbook, FPL-GTR-190, ch. 10: a joint planed before the glue's water has spread leaves a hollow.
    edges = 'joints = [{ area = "420 mm * 40 mm", length = "420 mm" }]'
    panel = PARTS + work("glue", ["leg"], f'makes = "pair"\nglue = {{ with = "pva-slow", spread = "3 min", {edges} }}')

    for station in ("hand tools", "sanding", "belt sander", "planer"):
        assert holds(panel + work("flatten", ["pair"], f'station = "{station}"'))["flatten"] == (
            ClockHold("A/glue", "rest"),
        )
    assert holds(panel + work("mark", ["pair"], 'station = "bench"'))["mark"] == ()


CLEAR = '\n[size]\nclear = { plan = "300 mm", measure = "Between the legs." }\n'


def measured(text, part):
    """What holds the measuring of this part or assembly, which is done at the bench."""
    measure = work("measure", [part], 'station = "bench"\nmeasure = ["clear"]')
    head, parts = text[: text.index("[[part]]")], text[text.index("[[part]]") :]
    return holds(head + CLEAR + parts + measure + work("show", [part], 'show = ["clear"]'))["measure"]


def test_what_was_glued_bent_is_measured_when_it_has_rested():
    """It opens after the form: porch chairs with ends cut to the day's curve do not go together."""
    bent = PARTS + FIT + glue(", stressed = true")

    assert measured(bent, "frame") == (ClockHold("A/glue", "rest"),)


def test_a_piece_that_something_bent_went_into_may_be_measured_at_once():
    bent = PARTS + FIT + glue(", stressed = true")
    more = bent + '\n[[part]]\nid = "top"\nstock = "white ash"\nsize = ["400 mm", "120 mm", "15 mm"]\n'
    stool = work("screw", ["frame", "top"], 'makes = "stool"')

    assert measured(more + stool, "stool") == ()


def test_an_opening_is_measured_as_soon_as_the_clamps_are_off():
    assert measured(FRAME, "frame") == ()


def test_a_panel_is_measured_when_it_has_rested():
    edges = 'joints = [{ area = "420 mm * 40 mm", length = "420 mm" }]'
    panel = PARTS + work("glue", ["leg"], f'makes = "pair"\nglue = {{ with = "pva-slow", spread = "3 min", {edges} }}')

    assert measured(panel, "pair") == (ClockHold("A/glue", "rest"),)


def test_a_machine_further_down_the_line_waits_too():
    text = FRAME + work("pare", ["frame"], 'station = "bench"') + work("trim", ["frame"], 'station = "table saw"')

    assert holds(text)["trim"] == (ClockHold("A/glue", "rest"),)


def test_a_wait_holds_what_comes_next_on_the_part_alone():
    text = PARTS + work("stain", ["leg"], 'wait = "1 d"') + work("sand", ["leg"]) + work("look", ["leg"])

    assert holds(text) == {"stain": (), "sand": (ClockHold("A/stain", "rest"),), "look": ()}


def test_the_next_coat_waits_for_the_window_and_handling_for_the_last():
    text = FRAME + work("oil", ["frame"], 'coat = { with = "hardwax-oil", coats = 2 }') + work("pack", ["frame"])

    assert holds(text)["oil-2"] == (ClockHold("A/oil-1", "recoat"),)
    assert holds(text)["pack"] == (ClockHold("A/oil-2", "rest"),)


def test_a_second_finish_makes_the_first_one_wait_for_its_recoat():
    seal = work("seal", ["frame"], 'coat = { with = "shellac" }')
    text = FRAME + seal + work("varnish", ["frame"], 'coat = { with = "waterborne" }')
    clocks = {name: [clock.kind for clock in op.clocks] for name, op in operations(text).items()}

    assert clocks["seal"] == ["recoat"]
    assert clocks["varnish"] == ["rest", "cure"]
    assert holds(text)["varnish"] == (ClockHold("A/seal", "recoat"),)


@given(recipes(), st.integers(1, 2))
def test_holds_name_clocks_of_earlier_operations(text, pieces):
    clocks = {}
    for op in compile_text(text, "random.toml", pieces).operations:
        for hold in op.holds:
            assert hold.clock in clocks[hold.operation]
        clocks[op.id] = {clock.kind for clock in op.clocks}


@given(recipes(), st.integers(1, 2))
def test_every_machine_waits_for_every_joint_it_touches(text, pieces):
    sheet = compile_text(text, "random.toml", pieces)
    contents = contents_of(sheet.parts, sheet.assemblies)
    joints = []
    for op in sheet.operations:
        touched = {one for part in op.parts for one in contents[part]}
        wanted = {id for id, parts in joints if parts & touched}
        if station_named(op.station).kind == "machine":
            assert {hold.operation for hold in op.holds if hold.operation in dict(joints)} == wanted
        if op.step == "glue-up":
            joints.append((op.id, {*op.parts, *((op.makes,) if op.makes else ())}))
