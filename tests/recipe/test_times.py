import pytest
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks as clocks_of
from benchbell.bench.happenings import Clamped, GlueOn, Happening, Mixed, Stamp, Started
from benchbell.bench.state import bench_of
from benchbell.recipe.coat_times import RAGS_AFTER_MINUTES
from benchbell.recipe.sheet import ClockSpec
from benchbell.recipe.times import MINUTE_MS
from benchbell.trade.finish import finishes
from benchbell.trade.glue import glue_named, glues
from small_recipes import FIT, PARTS, compiled, glue, operations, sound, work

HOUR = 60 * MINUTE_MS
PVA = "PVA, plain white or yellow: typical of its class, common practice, no source"


def clocks(keys, **shop):
    """The clocks of one operation on legs and rail, by kind."""
    text = PARTS + FIT + work("do", ["leg", "rail"], f'makes = "frame"\n{keys}')
    return {clock.kind: clock for clock in operations(text, **shop)["do"].clocks}


def glued(more="", with_="pva-interior", **shop):
    return clocks(f'glue = {{ with = "{with_}", spread = "3 min"{more} }}', **shop)


def test_a_glue_up_has_its_open_time_clamps_rest_and_squeeze_out():
    assert glued() == {
        "open": ClockSpec("open", "glue-on", ("clamped",), None, 5 * MINUTE_MS, PVA, "open", "pva-interior"),
        "in-clamps": ClockSpec("in-clamps", "clamped", ("clamps-off",), HOUR, None, PVA, "clamp", "pva-interior"),
        "rest": ClockSpec("rest", "clamped", (), 24 * HOUR, None, PVA, "machine", "pva-interior"),
        "squeeze-out": ClockSpec(
            "squeeze-out", "clamped", ("pared", "clamps-off"), 20 * MINUTE_MS, 40 * MINUTE_MS,
            "PVA, plain white or yellow: common practice, no source",
        ),
    }  # fmt: skip


def test_mixed_glue_has_a_pot_life_from_mixing_to_clamped():
    pot = glued(with_="epoxy-slow")["pot"]

    assert (pot.starts, pot.ends, pot.least_ms, pot.most_ms) == ("mixed", ("clamped",), None, 20 * MINUTE_MS)
    assert (pot.figure, pot.glue) == ("pot", "epoxy-slow")


def test_the_phone_gets_a_grid_for_every_clock_that_follows_the_air():
    sheet = sound(PARTS + work("plane", ["leg", "rail"]) + FIT + glue(with_="epoxy-slow"))
    for clock in sheet.operations[-1].clocks:
        assert clock.figure is None or getattr(sheet.figures[clock.glue], f"{clock.figure}_ms") is not None


def test_stressed_work_stays_in_clamps_for_longer():
    assert glued(", stressed = true")["in-clamps"].least_ms == 24 * HOUR
    assert glued(", stressed = true")["in-clamps"].figure == "stressed_clamp"


def test_the_shops_air_counts():
    # 10 °C below where a chemical glue's figure holds doubles its wait: trade rule, common practice.
    assert (
        glued(with_="polyurethane", celsius=10)["in-clamps"].least_ms
        == 2 * glued(with_="polyurethane")["in-clamps"].least_ms
    )


def test_in_a_shop_too_cold_the_plan_is_for_the_least_temperature():
    warm = glued(with_="urea-formaldehyde", celsius=21)

    assert glued(with_="urea-formaldehyde", celsius=12) == warm


def test_the_containers_label_comes_before_the_class():
    label = {"pva-interior": {"clamp_minutes": 90.0}}
    clamp = glued(labels=label)["in-clamps"]

    assert clamp.least_ms == 90 * MINUTE_MS
    assert clamp.source == "PVA, plain white or yellow: the container's label"


@pytest.mark.parametrize(
    ("key", "kind", "ms"),
    [
        ("open", "open", "most_ms"),
        ("pot", "pot", "most_ms"),
        ("clamp", "in-clamps", "least_ms"),
        ("rest", "rest", "least_ms"),
    ],
)
def test_a_time_in_the_recipe_stands_in_place_of_the_glues(key, kind, ms):
    clock = glued(f', {key} = "1 d 2 h"', with_="epoxy-slow")[kind]

    assert getattr(clock, ms) == 26 * HOUR
    assert (clock.source, clock.figure) == ("from the recipe", None)


def test_a_pot_life_in_the_recipe_makes_a_clock_for_a_glue_that_has_none():
    assert glued(', pot = "30 min"')["pot"].most_ms == 30 * MINUTE_MS


def test_the_last_of_several_coats_dries_and_the_others_wait_for_the_next():
    text = PARTS + work("oil", ["leg", "rail"], 'coat = { with = "hardwax-oil", coats = 3 }')
    kinds = [[clock.kind for clock in op.clocks] for op in operations(text).values()]

    assert kinds == [["wipe-off", "rags", "recoat"]] * 2 + [["wipe-off", "rags", "rest", "cure"]]


def test_a_window_is_written_with_both_its_ends():
    text = PARTS + work("oil", ["leg"], 'coat = { with = "shellac", coats = 2, recoat = "2 h", recoat_most = "24 h" }')
    recoat = operations(text)["oil-1"].clocks[-1]

    assert (recoat.least_ms, recoat.most_ms, recoat.source) == (2 * HOUR, 24 * HOUR, "from the recipe")


def test_the_finishs_own_window_has_its_end_too():
    text = PARTS + work("coat", ["leg"], 'coat = { with = "waterborne", coats = 2 }')
    recoat = operations(text)["coat-1"].clocks[-1]

    assert (recoat.least_ms, recoat.most_ms) == (3 * HOUR, 24 * HOUR)


def test_a_cool_or_damp_shop_doubles_the_wait():
    # Hardwax oil: 12 h, 24 h when cool or damp: common practice, no source.
    text = PARTS + work("oil", ["leg"], 'coat = { with = "hardwax-oil", coats = 2 }')

    assert operations(text, celsius=16)["oil-1"].clocks[-1].least_ms == 24 * HOUR
    assert operations(text, humidity=75)["oil-1"].clocks[-1].least_ms == 24 * HOUR


def test_two_part_oil_has_a_pot_life_until_the_operation_is_finished():
    found = clocks('coat = { with = "hardwax-oil-2" }')

    assert (found["pot"].starts, found["pot"].ends, found["pot"].most_ms) == ("mixed", ("finished",), 2 * HOUR)


@pytest.mark.parametrize("finish", sorted(finishes()))
def test_rags_are_asked_for_after_wiping_wherever_they_can_take_fire(finish):
    found, row = clocks(f'coat = {{ with = "{finish}" }}'), finishes()[finish]

    assert ("rags" in found) == row.oily_rags
    if row.oily_rags:
        assert found["rags"].least_ms == (row.wipe_to_minutes or RAGS_AFTER_MINUTES) * MINUTE_MS


@pytest.mark.parametrize("name", sorted(glues()))
def test_every_glue_has_its_clocks_and_every_least_comes_before_its_most(name):
    found = glued(with_=name, celsius=22)

    assert found.keys() >= {"open", "in-clamps", "rest"}
    assert ("pot" in found) == (glue_named(name).pot_minutes is not None)
    assert all(one.least_ms <= one.most_ms for one in found.values() if None not in (one.least_ms, one.most_ms))


def test_other_work_rests_as_long_as_the_recipe_asks():
    found = clocks('wait = "1 d"\nwait_most = "3 d 30 min"')

    assert found == {
        "rest": ClockSpec("rest", "finished", (), 24 * HOUR, 72 * HOUR + 30 * MINUTE_MS, "from the recipe")
    }


def test_a_wait_may_be_a_formula_over_named_times():
    text = PARTS.replace("[[part]]", '[size]\nnight = "14 h"\n\n[[part]]', 1) + work("x", ["leg"], 'wait = "2 * night"')

    assert operations(text)["x"].clocks[0].least_ms == 28 * HOUR


def test_work_without_a_wait_has_no_clock():
    assert compiled(PARTS + work("x", ["leg"])).operations[0].clocks == ()


def running(marks):
    """Kinds of clock that run on an epoxy glue-up after these marks, a minute apart."""
    sheet = sound(PARTS + work("plane", ["leg", "rail"]) + FIT + glue(with_="epoxy-slow"))
    book = Book()
    said = [Started("Stool", sheet, "", {}), *(mark("A/glue") for mark in marks)]
    for n, what in enumerate(said, 1):
        book.add(Happening(f"id-{n}", n, Stamp(n * MINUTE_MS, 0, "00000000000000a1"), "stool", (), what))
    return {clock.kind for clock in clocks_of(sheet, bench_of(book), [], (len(said) + 1) * MINUTE_MS)}


def test_the_pot_runs_from_mixing_until_the_clamps_are_on():
    assert running([]) == set()
    assert running([Mixed]) == {"pot"}
    assert running([Mixed, GlueOn]) == {"pot", "open"}
    assert running([Mixed, GlueOn, Clamped]) == {"in-clamps", "rest"}
