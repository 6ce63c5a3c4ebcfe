"""The judge of faults finds what is lost, early, missed and doubled, and nothing else."""

import pytest
from speed.fault_kinds.judgement import (
    Due,
    Outcome,
    Rung,
    doubled_entries,
    doubled_rings,
    early_rings,
    lost_entries,
    missed_rings,
)
from speed.fault_kinds.table import line, totals

DUE = {"glue": Due(100.0, 0.5), "oil": Due(200.0)}


def entry(id, n=1, device="a", what="noted"):
    return {"id": id, "n": n, "at": {"device": device}, "what": what}


def test_an_acknowledged_entry_that_is_not_there_or_says_something_else_is_lost():
    acknowledged = {"1": "noted", "2": "noted", "3": "noted"}

    assert ["2", "3"] == lost_entries(acknowledged, [entry("1"), entry("3", what="garbled"), entry("4")])


@pytest.mark.parametrize(
    ("log", "doubled"),
    [
        ([entry("1", 1), entry("2", 2), entry("3", 1, "b")], 0),
        ([entry("1", 1), entry("1", 1)], 1),
        ([entry("1", 1), entry("1", 2)], 1),
        ([entry("1", 1), entry("2", 1), entry("3", 1)], 2),
    ],
)
def test_an_entry_is_doubled_under_its_id_or_its_number(log, doubled):
    assert doubled == doubled_entries(log)


def test_a_ring_before_its_moment_is_early_beyond_what_the_phone_may_be_wrong_by():
    assert [] == early_rings(DUE, [Rung("glue", 99.6), Rung("oil", 200.0)])
    assert ["glue", "oil"] == early_rings(DUE, [Rung("glue", 99.4), Rung("oil", 199.9)])


def test_a_ring_that_nobody_waits_for_is_early():
    assert ["varnish"] == early_rings(DUE, [Rung("varnish", 500.0)])


def test_a_ring_that_never_came_is_missed():
    assert ["oil"] == missed_rings(DUE, [Rung("glue", 150.0)])


def test_a_ring_that_came_again_is_doubled():
    assert 2 == doubled_rings([Rung("glue", 1.0), Rung("glue", 2.0), Rung("glue", 3.0), Rung("oil", 4.0)])


@pytest.mark.parametrize(
    "broken", [{"lost": 1}, {"early": 1}, {"missed": 1}, {"doubled": 1}, {"broken": ("It did not start.",)}]
)
def test_whatever_is_not_as_promised_counts_against_the_outcome(broken):
    assert Outcome(3, recover_s=90.0).held
    assert not Outcome(3, **broken).held


def test_the_table_says_each_kind_and_the_sums_of_all():
    one, other = Outcome(3, lost=1, recover_s=0.25), Outcome(4, missed=2, doubled=1, broken=("It did not start.",))

    assert "kill                         3     1     0      0       0       0.2     1.0" == line("kill", one, 1.0)
    assert "    It did not start." == line("cut", other, 1.0).splitlines()[1]
    assert [
        "faults_tried: 7",
        "faults_lost: 1",
        "faults_early: 0",
        "faults_missed: 2",
        "faults_doubled: 1",
        "faults_broken: 1",
        "faults_recover_worst_s: 0.2",
    ] == totals([one, other])
