from benchbell.recipe.as_built import Dependents, dependents
from benchbell.recipe.formula import names_in
from hypothesis import given
from hypothesis import strategies as st
from small_recipes import LEGS, RAIL, TITLE, compiled, rules, sound, work

SIZES = """
[size]
clear = { plan = "300 mm", measure = "Between the legs." }
rail = "clear + 2 * tenon"
tenon = "20 mm"
half = "rail / 2"
leg = "420 mm"
"""
PARTS = SIZES + LEGS.replace('"420 mm"', '"leg"') + RAIL.replace('"340 mm"', '"rail"')
STOP = '\n[[setup]]\nid = "stop"\nstation = "bench"\nset = { stop = "half" }\n'
MEASURE = work("measure", ["leg"], 'measure = ["clear"]')
CUT = work("cut", ["rail"], 'show = ["rail"]\nafter = ["measure"]')
TENON = work("tenon", ["rail"], 'setup = "stop"')


def test_all_that_depends_on_a_size_is_known():
    sheet = sound(TITLE + PARTS + STOP + MEASURE + CUT + TENON + work("plane", ["leg"]))

    assert dependents_in(sheet, "clear") == Dependents(("clear", "rail", "half"), ("A/rail",), ("stop",))
    assert dependents_in(sheet, "leg") == Dependents(("leg",), ("A/leg-1", "A/leg-2"), ())


def dependents_in(sheet, size):
    """All that depends on a size of a sheet."""
    return dependents(size, sheet.sizes, sheet.parts, sheet.setups)


def test_what_is_cut_behind_the_measuring_is_cut_in_time():
    assert rules(TITLE + PARTS + STOP + MEASURE + CUT + TENON) == []


def order(text, pieces=1):
    """The ids of its operations in order."""
    return [op.id for op in sound(text, pieces).operations]


def test_what_is_cut_to_a_measured_size_comes_after_the_measuring_by_itself():
    plain = CUT.replace('after = ["measure"]', "")

    assert order(TITLE + PARTS + STOP + plain + TENON + MEASURE) == ["A/measure", "A/cut", "A/tenon"]
    assert order(TITLE + PARTS + STOP + TENON + plain + MEASURE) == ["A/measure", "A/tenon", "A/cut"]


def test_each_piece_waits_for_its_own_measure_and_work_for_all_pieces_for_all():
    each = TITLE + PARTS + STOP + TENON + MEASURE
    at_once = each.replace('setup = "stop"', 'setup = "stop"\nonce = true')

    assert {op.id: op.after for op in sound(each, 2).operations}["B/tenon"] == ("B/measure",)
    assert {op.id: op.after for op in sound(at_once, 2).operations}["tenon"] == ("A/measure", "B/measure")


def test_a_joint_waits_for_the_measure_of_what_it_joins():
    joined = work("join", ["leg", "rail"], 'makes = "frame"')

    assert order(
        TITLE + PARTS + STOP + work("ease", ["rail"]) + work("measure", [], 'measure = ["clear"]') + TENON + joined
    )[-2:] == ["A/tenon", "A/join"]


def test_of_two_measurings_one_before_is_enough():
    again = work("again", ["rail"], 'measure = ["clear"]')

    assert order(TITLE + PARTS + STOP + MEASURE + CUT + TENON + again)[-1] == "A/again"


def test_a_contradiction_is_one_error():
    late = MEASURE.replace('["leg"]', '["leg", "rail"]')
    text = TITLE + PARTS + STOP + CUT.replace('after = ["measure"]', "") + TENON + late

    assert rules(text, 3) == ["cut-before-measured"]
    assert "So would 1 more operation." in compiled(text).findings[0].what


def test_cutting_over_size_may_come_first():
    rough = work("rough", ["rail"], 'rough = true\nshow = ["rail"]')

    assert rules(TITLE + PARTS + STOP + rough + MEASURE + CUT + TENON) == []


def test_the_measuring_operation_may_cut_too():
    fit = work("fit", ["leg", "rail"], 'measure = ["clear"]\nshow = ["rail"]')

    assert rules(TITLE + PARTS + STOP + fit + TENON) == []


def test_a_size_for_the_whole_build_is_measured_once_before_all_pieces():
    text = (TITLE + PARTS + STOP + MEASURE + CUT + TENON).replace('legs."', 'legs.", once = true')
    text = text.replace('measure = ["clear"]', 'once = true\nmeasure = ["clear"]')

    assert rules(text, 3) == []
    assert compiled(text, 3).operations[0].id == "measure"


@given(st.lists(st.integers(0, 9), min_size=9, max_size=9))
def test_dependents_are_those_from_which_the_size_is_reached(uses):
    """Against walking every formula's names by hand. uses: the k-th size may use one of the k before it."""
    lines = ['s0 = "1 mm"'] + [f's{n} = "{"1 mm" if one >= n else f"s{one} + 1 mm"}"' for n, one in enumerate(uses, 1)]
    sheet = compiled(TITLE + "[size]\n" + "\n".join(lines) + LEGS + work("x", ["leg"]))
    formulas = {size.name: names_in(size.formula) for size in sheet.sizes}

    def reaches(name, wanted):
        return name == wanted or any(reaches(used, wanted) for used in formulas[name])

    for wanted in formulas:
        assert set(dependents_in(sheet, wanted).sizes) == {name for name in formulas if reaches(name, wanted)}
