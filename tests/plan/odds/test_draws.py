"""Drawn durations: lognormal, the same for the same names, shared where they should be."""

from math import log

import numpy as np
import pytest
from benchbell.plan.odds.draws import Duration, drawn_minutes, normals
from benchbell.plan.odds.pace import LEVEL, PRIOR, UNTIMED, learned
from benchbell.plan.odds.timings import Timing
from plan.timed_shop import timings_of

MANY = 2_000
LONG = 100_000
"""Minutes so many that whole ones are as good as real ones."""


def logs(pace, *durations, count=MANY):
    """By operation, the logarithms of what is drawn over planned."""
    drawn = np.array(drawn_minutes(pace, durations, count), dtype=float)
    return np.log(drawn / LONG).T


def test_with_nothing_timed_durations_spread_as_the_prior_does():
    (found,) = logs(UNTIMED, Duration("saw it", LONG, "b", "table saw"))

    assert found.mean() == pytest.approx(LEVEL, abs=0.03)
    assert found.std() == pytest.approx(sum(PRIOR.values()) ** 0.5, rel=0.05)


def test_operations_of_a_build_share_their_luck_and_of_two_builds_only_the_shops():
    pace = learned(timings_of(1, 20, people=("ann",)))
    ops = [Duration(f"{build}|{n}", LONG, build, "table saw") for build in "ab" for n in range(40)]
    found = logs(pace, *ops)
    a, b = found[:40].mean(axis=0), found[40:].mean(axis=0)
    of_build, of_chance = pace.variances["build"], pace.variances["chance"]

    assert a.var() > 0.8 * of_build + of_chance / 40
    assert (a - b).var() == pytest.approx(2 * (of_build + of_chance / 40), rel=0.35)


def test_a_build_that_is_slow_so_far_is_expected_to_stay_so():
    slow = [Timing("b", "table saw", "", 30, 60) for _ in range(12)]
    pace = learned([*timings_of(1, 10, people=("",)), *slow])
    ours, another = logs(pace, Duration("x", LONG, "b", "table saw"), Duration("x", LONG, "new", "table saw"))

    assert ours.mean() > another.mean() + 0.1
    assert ours.std() < another.std()


def test_who_works_at_a_build_counts_and_else_anybody_may():
    timings = [
        Timing(build, "saw", person, 30, 30 * ratio)
        for person, ratio in (("ann", 0.8), ("bob", 1.25))
        for build in (f"{person} {n}" for n in range(8))
        for _ in range(10)
    ]
    pace = learned([*timings, Timing("hers", "saw", "ann", 30, 27)])
    hers, anybodys = logs(pace, Duration("x", LONG, "hers", "saw"), Duration("x", LONG, "new", "saw"))

    assert hers.mean() < anybodys.mean() < log(1.25)
    assert anybodys.std() > hers.std()


def test_luck_goes_by_names_and_not_by_what_else_is_planned():
    one, other = Duration("x", 30, "b", "saw"), Duration("y", 30, "c", "coat")
    alone, beside = drawn_minutes(UNTIMED, [one], 50), drawn_minutes(UNTIMED, [other, one], 50)

    assert [sample[0] for sample in alone] == [sample[1] for sample in beside]
    assert [sample[0] for sample in beside] != [sample[1] for sample in beside]


def test_what_takes_hands_takes_a_minute_at_least_and_what_takes_none_takes_none():
    drawn = drawn_minutes(UNTIMED, [Duration("x", 1, "b", "saw"), Duration("y", 0, "b", "saw")], 200)

    assert {sample[1] for sample in drawn} == {0}
    assert min(sample[0] for sample in drawn) == 1


def test_each_equally_likely_part_is_drawn_once():
    found = normals("anything", 200)

    assert sorted(found) == sorted(normals("another", 200)) != found
    assert np.std(found) == pytest.approx(1, abs=0.02)
    assert sorted(found)[20] == pytest.approx(-1.2816, abs=0.03)  # the tenth part of a normal table
