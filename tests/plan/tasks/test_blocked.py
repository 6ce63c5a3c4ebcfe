"""What waits for a measured size: left out of the plan once it was measured out of its bounds, and told before."""

from benchbell.bench.happenings import Began, Finished, Measured
from dry_recipe import DRY
from plan import open_builds
from plan.shop_day import MONDAY, build_of

GATE = "Only once moisture is at most 9 %: the plan takes that for granted."


def source_of(build):
    """The problem, with hands at work around the clock."""
    return open_builds.source_of(build, now=MONDAY)


def measured(percent, piece="A"):
    return (Measured("moisture", piece, percent), Finished(f"{piece}/measure"))


def planned(found):
    """The operations in the problem."""
    return [op.id for op in found.problem.ops]


def test_before_it_is_measured_what_comes_next_says_that_it_waits():
    found = source_of(build_of(DRY))

    assert planned(found) == ["b|A/measure|work", "b|A/cut|work", "b|A/plane|work"]
    assert found.gates == {"b|A/cut|work": GATE}
    assert found.unplanned == ()


def test_measured_within_its_bounds_nothing_waits():
    found = source_of(build_of(DRY, *measured(8.5)))

    assert planned(found) == ["b|A/cut|work", "b|A/plane|work"]
    assert found.gates == {}


def test_measured_out_of_its_bounds_it_and_all_that_waits_are_left_out_with_one_reason():
    found = source_of(build_of(DRY, *measured(11)))

    assert planned(found) == []
    assert [(one.operation, one.reason) for one in found.unplanned] == [
        (
            "A/measure",
            "Moisture 11 %, at most 9 %: measure again. What comes after it waits until it is at most 9 %.",
        )
    ]


def test_another_piece_goes_on():
    found = source_of(build_of(DRY, *measured(11), *measured(8, "B"), pieces=2))

    assert planned(found) == ["b|B/cut|work", "b|B/plane|work"]


def test_what_was_begun_all_the_same_is_planned_on():
    found = source_of(build_of(DRY, *measured(11), Began("A/cut")))

    assert planned(found) == ["b|A/cut|work", "b|A/plane|work"]
    assert [one.operation for one in found.unplanned] == ["A/measure"]


def test_not_measured_at_all_says_so():
    (one,) = source_of(build_of(DRY, Finished("A/measure"))).unplanned

    assert one.reason.startswith("Moisture is not measured, at most 9 %: measure it.")


def test_finished_with_a_reason_nothing_waits():
    found = source_of(build_of(DRY, Measured("moisture", "A", 11), Finished("A/measure", "It dries on indoors.")))

    assert planned(found) == ["b|A/cut|work", "b|A/plane|work"]
    assert found.unplanned == ()


def test_bounds_on_both_sides_are_said_as_one_range():
    both = DRY.replace('most = "9 %"', 'least = "7 %", most = "9 %"')

    assert both != DRY
    assert source_of(build_of(both)).gates == {"b|A/cut|work": GATE.replace("at most 9 %", "between 7 % and 9 %")}
