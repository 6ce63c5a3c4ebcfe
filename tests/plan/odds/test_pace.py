"""What is learned of a shop's pace, against the same answer computed the other way round."""

from math import log
from random import Random

import msgspec
import numpy as np
import pytest
from benchbell.plan.odds.draws import Duration, drawn_minutes
from benchbell.plan.odds.matrix import inverse_of, root_of
from benchbell.plan.odds.pace import DECIMALS, LEVEL, PRIOR, Cell, Pace, expected_log, learned, of_builds, predicted
from benchbell.plan.odds.timings import Timing
from msgspec.structs import replace
from plan.timed_shop import timings_of

ROUNDED = 10 * 10**-DECIMALS  # of means, and of the variances that they follow from


def test_effects_are_the_conditional_means_of_normals_given_all_log_ratios():
    # Predicted from the covariance of what was seen, n by n, in place of the equations, which are as large as the
    # effects: the two agree by the Woodbury identity.
    timings = timings_of(1, 3)
    pace = learned(timings)
    factors = [factor for _, factor in sorted((at, factor) for factor, of in pace.place.items() for at in of.values())]
    design = np.zeros((len(timings), len(factors)))
    for n, one in enumerate(timings):
        for factor, name in (("shop", ""), ("kind", one.kind), ("person", one.person), ("build", one.build)):
            design[n, pace.place[factor][name]] = 1
    ratios = np.array([log(one.real / one.planned) - LEVEL for one in timings])
    prior = np.diag([pace.variances[factor] for factor in factors])
    seen = design @ prior @ design.T + pace.variances["chance"] * np.eye(len(timings))
    mean = prior @ design.T @ np.linalg.solve(seen, ratios)
    covariance = prior - prior @ design.T @ np.linalg.solve(seen, design @ prior)
    mean[0] += LEVEL

    assert pace.mean == pytest.approx(mean, abs=ROUNDED)
    for n, row in enumerate(pace.covariance):
        assert row == pytest.approx(covariance[n, : n + 1], abs=ROUNDED)


def test_one_group_is_shrunk_by_the_textbook_formula():
    # A normal mean with known variance: n/s² over n/s² plus 1/t² of the way from the prior to the mean.
    cells = [Cell([0], count=8, total=8 * 0.5, squares=8 * 0.25)]
    (mean,), ((variance,),) = predicted([("kind", "coat")], cells, PRIOR)
    weight = 8 / PRIOR["chance"]

    assert mean == pytest.approx(0.5 * weight / (weight + 1 / PRIOR["kind"]))
    assert variance == pytest.approx(1 / (weight + 1 / PRIOR["kind"]))


def test_with_nothing_timed_the_prior_stands():
    pace = learned([])

    assert (pace.timed, pace.mean, pace.covariance) == (0, (round(LEVEL, DECIMALS),), ((PRIOR["shop"],),))
    assert pace.variances == pytest.approx(PRIOR)


def test_many_builds_teach_the_level_and_the_spread():
    found = [learned(timings_of(seed, 20)) for seed in range(12)]
    chance = [pace.variances["chance"] ** 0.5 for pace in found]
    of_build = [pace.variances["build"] ** 0.5 for pace in found]

    assert all(0.25 < one < 0.35 for one in chance)
    assert 0.16 < np.mean(of_build) < 0.22


def test_a_slow_kind_a_slow_person_and_a_slow_build_are_told_apart():
    timings = [
        Timing(f"b{build}", kind, "ann" if build % 2 else "bob", 30, 30 * 1.1 * ratio)
        for build in range(8)
        for kind in ("saw", "coat")
        for ratio in [(1.5 if kind == "coat" else 1) * (1.3 if build % 2 else 1) * (1.4 if build == 7 else 1)] * 10
    ]
    pace = learned(timings)
    at = {(factor, name): pace.mean[place] for factor, of in pace.place.items() for name, place in of.items()}

    assert at["kind", "coat"] - at["kind", "saw"] == pytest.approx(log(1.5), abs=0.03)
    assert at["person", "ann"] - at["person", "bob"] == pytest.approx(log(1.3), abs=0.1)
    assert at["build", "b7"] - at["build", "b5"] == pytest.approx(log(1.4), abs=0.05)


def test_a_button_pressed_late_teaches_nothing():
    timings = timings_of(2, 2)
    odd = [Timing("build 1", "coat", "ann", 30, real) for real in (0.0, 0.5, 3000)]

    assert learned([*timings, *odd]) == learned(timings)
    assert learned([*timings, Timing("build 1", "coat", "ann", 30, 120)]) != learned(timings)


def test_the_matrix_and_its_inverse_and_root_multiply_to_what_they_should():
    made = np.array([[Random(seed * 7 + n).gauss(0, 1) for n in range(5)] for seed in range(5)])
    matrix = made @ made.T + np.eye(5)
    root = np.array([[*row, *[0] * (5 - len(row))] for row in root_of(matrix.tolist())])

    assert matrix @ np.array(inverse_of(matrix.tolist())) == pytest.approx(np.eye(5))
    assert root @ root.T == pytest.approx(matrix)


def test_the_pace_of_some_builds_leaves_out_what_only_others_depend_on():
    timings = timings_of(3, 6)
    pace, ours = learned(timings), of_builds(learned(timings), {"build 4", "new"})
    ops = [Duration(f"x{n}", 60, build, "saw") for n, build in enumerate(("build 4", "new"))]

    assert set(ours.place["build"]) == {"build 4"} == set(ours.workers)
    assert len(ours.mean) == len(pace.mean) - 5
    assert drawn_minutes(ours, ops, 40) == drawn_minutes(pace, ops, 40)
    assert [expected_log(ours, op.build, "coat") for op in ops] == [expected_log(pace, op.build, "coat") for op in ops]


def test_the_pace_survives_the_wire_bit_by_bit():
    pace = learned(timings_of(3, 6))

    assert msgspec.json.decode(msgspec.json.encode(pace), type=Pace) == pace


def test_what_is_learned_does_not_change_with_the_last_bits_of_a_sum():
    timings = timings_of(3, 6)
    nudged = [replace(one, real=one.real * (1 + (-1) ** n * 1e-14)) for n, one in enumerate(timings)]

    assert nudged != timings
    assert learned(nudged) == learned(timings)
