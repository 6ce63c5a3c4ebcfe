"""Schedules of activities that share resources: right by an independent judge, and as short as can be proved."""

from itertools import islice, permutations
from statistics import mean

import pytest
from benchbell.findings import Refused
from benchbell.plan.crew.bound import bound_of
from benchbell.plan.crew.check import faults
from benchbell.plan.crew.packed import packed
from benchbell.plan.crew.project import Activity, Project
from benchbell.plan.crew.schedule import in_order, parallel, serial, squeezed
from benchbell.plan.crew.search import search
from benchbell.plan.search.random import Random
from hypothesis import given
from hypothesis import strategies as st
from plan.psplib import instances


@st.composite
def projects(draw, most=6):
    """A few activities on two resources; links go to smaller numbers, so there is no circle."""
    capacities = (draw(st.integers(1, 4)), draw(st.integers(1, 4)))
    activities = []
    for number in range(draw(st.integers(0, most))):
        needs = tuple(draw(st.integers(0, capacity)) for capacity in capacities)
        after = tuple(one for one in range(number) if draw(st.integers(0, 3)) == 0)
        activities.append(Activity(draw(st.integers(0, 6)), needs, after))
    return Project(capacities, tuple(activities))


def least_finish(project):
    """By trying every order; some order, one after the other, makes a best schedule."""
    ready = packed(project)
    orders = permutations(range(len(ready.minutes)))
    allowed = [o for o in orders if all(o.index(b) < o.index(x) for x in o for b in ready.before[x])]
    return min(max(serial(ready, order, ready.before), default=0) for order in allowed)


@given(projects(), st.integers(0, 1000))
def test_what_is_found_is_right_and_the_bound_never_beaten(project, seed):
    best = list(islice(search(project, Random(seed)), 60))[-1]

    assert faults(project, best) == []
    assert least_finish(project) >= best.bound
    assert best.finish >= least_finish(project)


@given(projects(most=5), st.integers(0, 1000))
def test_few_activities_are_scheduled_as_well_as_can_be(project, seed):
    best = list(islice(search(project, Random(seed)), 300))[-1]

    assert least_finish(project) == best.finish


@given(projects(most=12), st.integers(0, 1000))
def test_later_schedules_are_no_worse(project, seed):
    finishes = [best.finish for best in islice(search(project, Random(seed)), 40)]

    assert sorted(finishes, reverse=True) == finishes


@given(projects(most=12))
def test_squeezing_never_lengthens(project):
    ready = packed(project)
    key = [-tail for tail in ready.tail]

    for ends in (serial(ready, in_order(ready, key), ready.before), parallel(ready, key)):
        assert max(squeezed(ready, ends), default=0) <= max(ends, default=0)


def test_the_same_seed_gives_the_same_schedules():
    project, _ = instances()["j30_13_1"]

    one, other = (list(islice(search(project, Random(5)), 100)) for _ in range(2))

    assert one == other


def test_proved_least_finishes_are_nearly_reached_on_instances_of_the_library():
    """PSPLIB, Kolisch and Sprecher 1996: every 16th instance, least finish proved; 200 schedules looked at.

    1 % is ours: no source. Kolisch's sampling is 0.83 % off after 1,000 schedules (literature, from memory).
    """
    some = instances(16)
    found = {name: list(islice(search(project, Random(1)), 200))[-1] for name, (project, _) in some.items()}
    off = [100 * (found[name].finish - least) / least for name, (_, least) in some.items()]

    assert [fault for name, best in found.items() for fault in faults(some[name][0], best)] == []
    assert min(off) >= 0
    assert mean(off) <= 1


def test_no_bound_is_above_the_proved_least_finish_of_an_instance():
    """PSPLIB, Kolisch and Sprecher 1996: all 480 instances."""
    above = {name for name, (project, least) in instances().items() if bound_of(project, packed(project)) > least}

    assert above == set()


def test_a_circle_is_refused_by_name():
    project = Project((1,), (Activity(1, (1,), (1,)), Activity(1, (1,), (0,))))

    with pytest.raises(Refused, match=r"Activities \[0, 1\] wait for each other"):
        next(search(project, Random(1)))


def test_a_need_above_what_there_is_is_refused():
    with pytest.raises(Refused, match=r"Activity 0 needs \(2,\) of \(1,\)"):
        next(search(Project((1,), (Activity(1, (2,)),)), Random(1)))
