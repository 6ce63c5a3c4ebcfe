import pytest
from small_recipes import FIT, PARTS, glue, rules, work

PLANE = work("plane", ["leg", "rail"])
READY = PARTS + PLANE + FIT


def test_a_dry_fit_of_everything_before_part_of_it_is_glued_will_do():
    two_goes = glue().replace('"leg", "rail"', '"leg-1", "rail"') + work("rest", ["frame", "leg-2"], "").replace(
        'id = "rest"', 'id = "glue-2"\nmakes = "stool"\nglue = { with = "pva-interior", spread = "3 min" }'
    )

    assert rules(READY + two_goes) == []


def test_a_dry_fit_after_the_glue_comes_too_late():
    later = work("fit-2", ["frame"], "dry_fit = true")

    assert rules(PARTS + PLANE + glue() + later) == ["no-dry-fit"]


def test_one_part_alone_needs_no_dry_fit():
    one = work("patch", ["rail"], 'glue = { with = "pva-interior", spread = "2 min" }')

    assert rules(PARTS + PLANE + one) == []


# Common practice, no source: plain PVA stays open 5 min, and its clamps are tight within 10.
@pytest.mark.parametrize(("spread", "said"), [("10 min", []), ("10 min 1 s", ["spread-too-long"])])
def test_spreading_and_closing_may_take_all_of_the_assembly_time_and_no_more(spread, said):
    assert rules(READY + glue(spread=spread)) == said


@pytest.mark.parametrize(("close", "said"), [("4 min", []), ("3 min 59 s", ["spread-too-long"])])
def test_the_faces_are_together_within_the_open_time(close, said):
    assert rules(READY + glue(f', close = "{close}"', spread="9 min")) == said


def test_a_label_with_more_open_time_is_believed():
    assert rules(READY + glue(spread="12 min"), labels={"pva-interior": {"open_minutes": 12}}) == []


def test_an_open_time_in_the_recipe_is_believed():
    assert rules(READY + glue(', open = "12 min"', spread="12 min")) == []


def test_boards_of_one_part_glued_edge_to_edge_need_no_dry_fit():
    edges = 'clamps = { "parallel jaw" = 12 }, joints = [{ area = "420 mm * 40 mm", length = "420 mm" }]'
    panel = work("panel", ["leg"], f'makes = "pair"\nglue = {{ with = "pva-interior", spread = "3 min", {edges} }}')

    assert rules(PARTS + PLANE + panel) == []
    assert rules(PARTS + PLANE + panel.replace(', length = "420 mm"', "")) == ["no-dry-fit"]


def test_pot_life_counts_where_it_is_the_shorter():
    assert rules(READY + glue(', pot = "10 min"', with_="epoxy-slow", spread="21 min")) == ["spread-too-long"]


@pytest.mark.parametrize(("celsius", "said"), [(10, []), (9.5, ["too-cold"])])
def test_the_least_temperature_is_warm_enough(celsius, said):
    assert rules(READY + glue(), celsius=celsius) == said


@pytest.mark.parametrize(("rest", "said"), [("24 h", []), ("23 h", ["machined-too-soon"])])
def test_a_rest_written_is_held_against_the_glues_own(rest, said):
    saw = work("trim", ["frame"], 'station = "table saw"')

    assert rules(READY + glue(f', rest = "{rest}"') + saw) == said


def test_a_short_rest_matters_only_where_a_machine_follows():
    assert rules(READY + glue(', rest = "2 h"') + work("pare", ["frame"], 'station = "hand tools"')) == []


def test_in_a_cold_shop_the_glues_own_rest_is_longer():
    saw = work("trim", ["frame"], 'station = "table saw"')

    assert rules(READY + glue(', rest = "24 h"') + saw, celsius=12) == ["machined-too-soon"]


@pytest.mark.parametrize(("clamp", "said"), [("60 min", []), ("59 min", ["clamped-too-short"])])
def test_a_clamp_time_written_is_held_against_the_glues_own(clamp, said):
    assert rules(READY + glue(f', clamp = "{clamp}"')) == said


def test_what_is_wrong_in_every_piece_is_said_once():
    assert rules(READY + glue(spread="12 min"), pieces=5) == ["spread-too-long"]


@pytest.mark.parametrize(
    ("with_", "said"), [("pva-type-1", ["creeping-glue"]), ("contact", ["creeping-glue"]), ("epoxy-slow", [])]
)
def test_under_stress_only_a_glue_that_does_not_creep_will_do(with_, said):
    # Wood Handbook, FPL-GTR-190, Table 10-3, from memory: PVA creeps under load. Contact cement: common practice.
    assert rules(READY + glue(", stressed = true", with_=with_)) == said
