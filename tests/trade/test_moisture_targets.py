import pytest
from benchbell.findings import UnknownName
from benchbell.trade.moisture_targets import outside, spread_percent, target_named, targets
from benchbell.trade.wood import emc_percent


def test_furniture_lumber_is_dried_to_6_to_8_percent():
    # Wood Handbook, FPL-GTR-190, ch. 13.
    target = target_named("furniture")

    assert (target.least_percent, target.most_percent) == (6, 8)
    assert outside(target, [5.9, 6, 7.2, 8, 9]) == (5.9, 9)


def test_every_target_is_in_its_own_range():
    assert all(t.least_percent <= t.aim_percent <= t.most_percent for t in targets().values())


def test_the_usual_interior_is_the_air_the_handbook_means():
    # 8 % is what wood comes to at 70 °F and 42 % relative humidity (Table 4-2: 7.7 % at 40, 8.5 % at 45).
    assert emc_percent(21.1, 42) == pytest.approx(target_named("most of the US").aim_percent, abs=0.1)


def test_the_spread_of_a_glue_up():
    assert spread_percent([7.5, 9.0, 8.2]) == 1.5


def test_an_unknown_target_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No target is called "funiture". Did you mean furniture'):
        target_named("funiture")
