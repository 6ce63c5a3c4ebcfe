"""What is learned of a shop's pace, against the same answer computed the other way round."""

from math import log
from random import Random

import numpy as np
import pytest
from benchbell.plan.odds.matrix import inverse_of, root_of
from benchbell.plan.odds.pace import LEVEL, PRIOR, Cell, learned, predicted
from benchbell.plan.odds.timings import Timing
from plan.timed_shop import timings_of


def test_effects_are_the_conditional_means_of_normals_given_all_log_ratios():
    # Predicted from the covariance of what was seen, n by n, in place of the equations, which are as large as the
    # effects: the two agree by the Woodbury identity.
    timings = timings_of(1, 3)
    pace = learned(timings)
    factors = [factor for factor, _ in pace.place]
    design = np.zeros((len(timings), len(factors)))
    for n, one in enumerate(timings):
        for effect in (("shop", ""), ("kind", one.kind), ("person", one.person), ("build", one.build)):
            design[n, pace.place[effect]] = 1
    ratios = np.array([log(one.real / one.planned) - LEVEL for one in timings])
    prior = np.diag([pace.variances[factor] for factor in factors])
    seen = design @ prior @ design.T + pace.variances["chance"] * np.eye(len(timings))
    mean = prior @ design.T @ np.linalg.solve(seen, ratios)
    covariance = prior - prior @ design.T @ np.linalg.solve(seen, design @ prior)
    mean[0] += LEVEL

    assert pace.mean == pytest.approx(mean)
    assert np.array(pace.covariance) == pytest.approx(covariance)


def test_one_group_is_shrunk_by_the_textbook_formula():
    # A normal mean with known variance: n/s² over n/s² plus 1/t² of the way from the prior to the mean.
    cells = [Cell([0], count=8, total=8 * 0.5, squares=8 * 0.25)]
    (mean,), ((variance,),) = predicted([("kind", "coat")], cells, PRIOR)
    weight = 8 / PRIOR["chance"]

    assert mean == pytest.approx(0.5 * weight / (weight + 1 / PRIOR["kind"]))
    assert variance == pytest.approx(1 / (weight + 1 / PRIOR["kind"]))


def test_with_nothing_timed_the_prior_stands():
    pace = learned([])

    assert (pace.timed, pace.mean, pace.covariance) == (0, [LEVEL], [[pytest.approx(PRIOR["shop"])]])
    assert pace.variances == PRIOR


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
    at = {effect: pace.mean[place] for effect, place in pace.place.items()}

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
