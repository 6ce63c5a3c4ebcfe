"""A plan in air in which some of it is not done."""

from benchbell.bench.happenings import Began
from benchbell.plan.report.unfit_air import unfit_lines, unfit_operations
from benchbell.recipe.unfit_air import Air
from plan.shop_day import build_of
from small_recipes import FIT, PARTS, glue, work

FRAME = PARTS + FIT + glue() + work("shellac", ["frame"], 'coat = { with = "shellac", coats = 2, sand = "P320" }')


def unfit(air, *done):
    """By operation, what stands in place of its times."""
    return {op: one.instead for (_, op), one in unfit_operations([build_of(FRAME, *done)], air).items()}


def test_glue_and_coats_are_judged_by_the_air_and_other_work_is_not():
    # Common practice, no source: PVA needs 10 °C, shellac 15 °C; from memory: shellac at most 70 %.
    cold, damp = "not at this temperature", "not in air so damp"

    assert unfit(Air(9.9, 50)) == {"A/glue": cold, "A/shellac-1": cold, "A/shellac-2": cold}
    assert unfit(Air(14.9, 71)) == {"A/shellac-1": cold, "A/shellac-2": cold}
    assert unfit(Air(15, 71)) == {"A/shellac-1": damp, "A/shellac-2": damp}
    assert unfit(Air(15, 70)) == unfit(Air(15)) == unfit(None) == {}


def test_what_has_begun_is_judged_by_its_clocks():
    assert "A/glue" not in unfit(Air(9.9, 50), Began("A/glue"))


def test_each_kind_of_air_has_a_line_of_its_own():
    builds = [build_of(FRAME)]

    assert unfit_lines(unfit_operations(builds, Air(9, 90)), lambda found: "; ".join(op for _, op in found)) == [
        "Not at this temperature: A/glue; A/shellac-1; A/shellac-2. "
        "Warm the shop first; the plan has the times of a warm one."
    ]
    assert unfit_lines({}, str) == []
