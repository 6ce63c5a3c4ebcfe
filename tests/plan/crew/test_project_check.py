"""The checker of project schedules names each fault."""

import pytest
from benchbell.plan.crew.project import Activity, Project, ProjectSchedule
from benchbell.plan.crew.project_check import faults

PROJECT = Project((2,), (Activity(3, (2,)), Activity(2, (1,), (0,))))

FAULTS = {
    "begins early": (ProjectSchedule((-1, 3), (2, 5), 5, 0), "Activity 0 begins at -1, before 0."),
    "lasts": (ProjectSchedule((0, 3), (3, 6), 6, 0), "Activity 1 lasts 3, not 2."),
    "out of turn": (ProjectSchedule((2, 0), (5, 2), 5, 0), "Activity 1 begins at 0, before 0 ends at 5."),
    "too much": (ProjectSchedule((0, 2), (3, 4), 4, 0), "At 2 resource 0 is used 3 of 2."),
    "finish": (ProjectSchedule((0, 3), (3, 5), 6, 0), "The finish is given as 6, but the last activity ends at 5."),
    "bound": (ProjectSchedule((0, 3), (3, 5), 5, 6), "The bound 6 is past the finish 5."),
    "missing": (ProjectSchedule((0,), (3,), 3, 0), "2 activities, but 1 starts and 1 ends."),
}


def test_a_sound_schedule_has_no_faults():
    assert faults(PROJECT, ProjectSchedule((0, 3), (3, 5), 5, 5)) == []


@pytest.mark.parametrize("case", FAULTS)
def test_each_fault_is_named(case):
    schedule, sentence = FAULTS[case]

    assert sentence in faults(PROJECT, schedule)
