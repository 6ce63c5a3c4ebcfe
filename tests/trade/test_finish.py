import pytest
from benchbell.findings import OutsideValidity, TooCold, UnknownName
from benchbell.trade.cautions import cautions
from benchbell.trade.finish import cure_minutes, finish_named, finishes, handle_minutes, recoat_minutes


def test_the_classes_of_finish():
    expected = ["hardwax-oil", "hardwax-oil-2", "penetrating-oil", "linseed-oil", "oil-varnish", "shellac"]

    assert [*expected, "waterborne", "lacquer"] == list(finishes())


def test_hardwax_oil_waits_a_day_between_coats_when_cool_or_damp():
    # Common practice, no source: 8 to 12 h between coats, 24 h if cool or damp.
    finish = finish_named("hardwax-oil")

    assert recoat_minutes(finish, 20, 50) == 12 * 60
    assert recoat_minutes(finish, 17, 50) == 24 * 60
    assert recoat_minutes(finish, 20, 75) == 24 * 60


@pytest.mark.parametrize("finish", finishes().values(), ids=lambda finish: finish.id)
def test_the_waits_of_a_finish_come_in_their_order(finish):
    usual = min(finish.most_humidity_percent, 50)
    recoat = recoat_minutes(finish, 20, usual) or 0

    assert recoat <= handle_minutes(finish, 20, usual) <= cure_minutes(finish, 20, usual)
    assert recoat <= (finish.recoat_most_minutes or recoat)
    assert (finish.wipe_from_minutes or 0) <= (finish.wipe_to_minutes or 0)
    assert set(finish.cautions) <= set(cautions())


def test_oils_that_cure_by_air_warn_of_their_rags():
    # 29 CFR 1910.106(h)(8)(iii) and fire code 3304.2 on things that can self-ignite, such as oily rags.
    oily = {finish.id for finish in finishes().values() if finish.oily_rags}

    assert oily == {"hardwax-oil", "hardwax-oil-2", "penetrating-oil", "linseed-oil", "oil-varnish"}
    assert all("oily-rags" in finish_named(name).cautions for name in oily)


def test_two_part_hardwax_oil_has_no_second_coat():
    # Common practice, no source: one coat is all.
    assert recoat_minutes(finish_named("hardwax-oil-2"), 20, 50) is None


def test_a_finish_is_refused_in_air_it_does_not_dry_in():
    # Common practice: shellac blushes above 70 %; waterborne not below 13 °C.
    with pytest.raises(OutsideValidity, match=r"71 % relative humidity is above 70 %, the most for shellac. Wait"):
        recoat_minutes(finish_named("shellac"), 20, 71)
    with pytest.raises(
        TooCold, match=r"12.5 °C \(54 °F\) is colder than 13 °C \(55 °F\), the least for waterborne. Warm the room"
    ):
        recoat_minutes(finish_named("waterborne"), 12.5, 50)


def test_an_unknown_finish_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No finish is called "shelac". Did you mean shellac'):
        finish_named("shelac")
