import pytest
from benchbell.findings import UnknownName
from benchbell.trade.cautions import cautions
from benchbell.trade.stations import TooSmall, station_named, stations, too_small


def test_every_caution_of_a_station_is_written_down():
    for station in stations().values():
        assert set(station.cautions) <= set(cautions())


def test_every_machine_says_that_its_manual_comes_first():
    machines = [station for station in stations().values() if station.kind == "machine"]

    assert all(station.cautions[0] == "manual-first" for station in machines)


def test_eyes_and_ears_are_covered_wherever_chips_fly():
    # 29 CFR 1910.133 and 1910.95; OSHA 3157, from memory. A veneer press is a place, and throws nothing.
    machines = [station for station in stations().values() if station.kind == "machine"]

    assert all({"eyes", "noise"} <= set(station.cautions) for station in (*machines, station_named("sanding")))


@pytest.mark.parametrize("station", [station for station in stations().values() if station.kind == "machine"])
def test_no_gloves_and_nothing_loose_at_what_turns(station):
    # OSHA 3157, from memory: drill press, lathe, shaper.
    assert "loose-clothing" in station.cautions


def test_work_is_clamped_at_the_mitre_saw():
    # Common practice, no source.
    assert "clamp-the-work" in station_named("mitre saw").cautions


def test_short_or_thin_stock_is_too_small_for_the_jointer():
    # School shop rules: 12 in (304.8 mm) long, 1/2 in (12.7 mm) thick.
    small = too_small(station_named("jointer"), length_mm=250, width_mm=40, thickness_mm=10)

    assert small == (TooSmall("length", 250, 304.8), TooSmall("thickness", 10, 12.7))


def test_a_part_at_the_least_size_is_not_too_small():
    assert too_small(station_named("jointer"), length_mm=304.8, width_mm=20, thickness_mm=12.7) == ()


@pytest.mark.parametrize(("length_mm", "is_small"), [(304.8, False), (300, False), (299.9, True)])
def test_twelve_inches_are_300_mm_in_a_metric_shop(length_mm, is_small):
    small = too_small(station_named("router table"), length_mm, width_mm=40, thickness_mm=20)

    assert (TooSmall("length", length_mm, 304.8) in small) is is_small


def test_the_bench_takes_any_size():
    assert too_small(station_named("bench"), length_mm=5, width_mm=5, thickness_mm=1) == ()


def test_an_unknown_station_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r'No station is called "tabelsaw". Did you mean table saw'):
        station_named("tabelsaw")
