import pytest
from benchbell.recipe.bounds import bounds_text, is_within
from benchbell.recipe.formula import evaluate
from benchbell.recipe.named_sizes import circles_in
from small_recipes import TITLE, compiled, sound, work

LEG = """
[[part]]
id = "leg"
stock = "white ash"
size = ["leg", "40 mm", "40 mm"]
"""


def sized(sizes, *show):
    """A sheet with these sizes, and one operation that shows some."""
    shown = ", ".join(f'"{name}"' for name in show)
    return TITLE + f"\n[size]\n{sizes}\n" + LEG + work("saw", ["leg"], f"show = [{shown}]")


def test_a_size_may_use_one_that_stands_below_it():
    sheet = sound(sized('leg = "height - seat"\nheight = "450 mm"\nseat = "30 mm"'))

    assert [size.name for size in sheet.sizes] == ["height", "seat", "leg"]
    assert sheet.parts[0].plan_mm == (420, 40, 40)


def test_feet_inches_fractions_and_millimetres_go_together():
    # 1 in = 25.4 mm exactly (1959), 1 ft = 12 in.
    sheet = sound(sized('leg = "1 ft 4 1/2 in - 19 mm + 5/8\\""'))

    assert sheet.sizes[0].plan == pytest.approx(16.5 * 25.4 - 19 + 0.625 * 25.4)


def test_a_measured_size_keeps_its_plan_its_tolerance_and_how_it_is_taken():
    text = sized('leg = "clear + 40 mm"\nclear = { plan = "1 ft", measure = "Between the rails.", within = "1/32 in" }')
    clear = compiled(text).sizes[0]

    assert (clear.plan, clear.measure, clear.within, clear.once) == (304.8, "Between the rails.", 25.4 / 32, False)


def test_a_measured_size_may_have_bounds_in_its_own_units():
    text = sized('leg = "clear"\nclear = { plan = "1 ft", measure = "Between.", least = "300 mm", most = "13 in" }')
    clear = compiled(text).sizes[0]

    assert (clear.least, clear.most) == (300, pytest.approx(330.2))
    assert bounds_text(clear, "mm") == "at least 300 mm, at most 330.2 mm"
    assert [is_within(clear, mm) for mm in (299.9, 300, 330.2, 330.3)] == [False, True, True, False]


def test_what_depends_on_a_measured_size_is_reckoned_anew_from_it():
    text = sized('leg = "clear + 40 mm"\nclear = { plan = "300 mm", measure = "Between the rails." }')
    sheet = compiled(text)

    assert evaluate(sheet.sizes[1].formula, {"clear": 305.5}) == 345.5


def test_a_size_may_bear_a_functions_name():
    sheet = sound(sized("leg = 'min'\nmin = 'min(420 mm, 1 m)'"))

    assert sheet.parts[0].plan_mm[0] == 420


def test_a_broken_size_is_named_once_however_many_use_it():
    text = sized('leg = "height - seat"\nheight = "450 millimetres"\nseat = "height / 15"', "seat", "height")

    assert [finding.what[:12] for finding in compiled(text).findings] == ["Size height:"]


def test_two_circles_are_two_findings():
    text = sized('leg = "foot"\nfoot = "leg"\na = "b + leg"\nb = "c"\nc = "b"', "a")

    assert [finding.what for finding in compiled(text).findings] == [
        "Size leg needs itself: leg needs foot needs leg.",
        "Size b needs itself: b needs c needs b.",
    ]


def test_a_circle_is_told_once_from_wherever_it_is_entered():
    uses = {"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": {"c"}}

    assert circles_in(uses) == [["b", "c", "b"]]
