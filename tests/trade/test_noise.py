import pytest
from benchbell.findings import OutsideValidity
from benchbell.trade.noise import allowed_hours, day_level_dba, dose_percent


# 29 CFR 1910.95, Table G-16 (the row for 110 dBA from memory); the table rounds.
@pytest.mark.parametrize(
    ("dba", "hours", "within"),
    [
        (90, 8, 0.005),
        (92, 6, 0.07),
        (95, 4, 0.005),
        (97, 3, 0.05),
        (100, 2, 0.005),
        (102, 1.5, 0.02),
        (105, 1, 0.005),
        (110, 0.5, 0.005),
        (115, 0.25, 0.005),
    ],
)
def test_a_full_dose_is_eight_hours_at_90(dba, hours, within):
    assert allowed_hours(dba) == pytest.approx(hours, abs=within)


# By the formulae of 29 CFR 1910.95, App. A, by hand.
def test_spells_add_up():
    dose = dose_percent([(95, 4), (90, 2)])

    assert dose == pytest.approx(125)
    assert day_level_dba(dose) == pytest.approx(91.6, abs=0.05)
    assert dose_percent([(92, 3), (100, 1), (95, 0.5)]) == pytest.approx(112.0, abs=0.05)


def test_the_action_level_is_half_a_dose():
    # 29 CFR 1910.95: 85 dBA over 8 hours.
    assert dose_percent([(85, 8)]) == pytest.approx(50)
    assert day_level_dba(50) == pytest.approx(85, abs=0.005)


def test_below_80_dba_does_not_count():
    assert dose_percent([(79.9, 12)]) == 0


def test_what_no_day_holds_is_refused():
    with pytest.raises(OutsideValidity, match="116 dBA is outside 80 to 115 dBA"):
        dose_percent([(116, 0.1)])
    with pytest.raises(OutsideValidity, match="The hours are 25 in total"):
        dose_percent([(90, 25)])
    with pytest.raises(OutsideValidity, match="dBA is outside"):
        dose_percent([(float("nan"), 1)])
    with pytest.raises(OutsideValidity, match="has no level"):
        day_level_dba(0)
