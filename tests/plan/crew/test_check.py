"""The judge of schedules says every fault, each by its sentence."""

import pytest
from benchbell.plan.crew.check import faults
from benchbell.plan.crew.project import Activity, Project, Schedule

PROJECT = Project((2,), (Activity(3, (2,)), Activity(2, (1,), (0,))))

FAULTS = {
    "begins early": (Schedule((-1, 3), (2, 5), 5, 0), "Activity 0 begins at -1, before 0."),
    "lasts": (Schedule((0, 3), (3, 6), 6, 0), "Activity 1 lasts 3, not 2."),
    "out of turn": (Schedule((2, 0), (5, 2), 5, 0), "Activity 1 begins at 0, before 0 ends at 5."),
    "too much": (Schedule((0, 2), (3, 4), 4, 0), "At 2 resource 0 is used 3 of 2."),
    "finish": (Schedule((0, 3), (3, 5), 6, 0), "The finish is given as 6, but the last activity ends at 5."),
    "bound": (Schedule((0, 3), (3, 5), 5, 6), "The bound 6 is past the finish 5."),
    "missing": (Schedule((0,), (3,), 3, 0), "2 activities, but 1 starts and 1 ends."),
}


def test_a_right_schedule_has_no_fault():
    assert faults(PROJECT, Schedule((0, 3), (3, 5), 5, 5)) == []


@pytest.mark.parametrize("case", FAULTS)
def test_each_fault_is_named(case):
    schedule, sentence = FAULTS[case]

    assert sentence in faults(PROJECT, schedule)
