"""Schedules that nobody would want, for problems of any kind: what judges them must judge them alike."""

from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.precedence import topological_order
from benchbell.plan.search.serial_generation import generate_serial


def random_schedule(problem, random, hands=1):
    """A schedule in a random order, of which some work is put off by a while, and each by a random pair of hands."""
    compiled = compile_problem(problem)
    lags = {(i, j): lag for i, pairs in enumerate(compiled.successors) for j, lag in pairs}
    place = random.sample(range(len(problem.ops)), len(problem.ops))
    schedule = generate_serial(compiled, topological_order(len(problem.ops), lags, place))
    if schedule:
        last = compiled.hours.closes[-1]
        for i in random.sample(schedule.order, len(schedule.order) // 3):
            by = random.choice((0, 1, 15, 60, 600))
            if schedule.end[i] + by <= last:
                schedule.start[i], schedule.end[i] = schedule.start[i] + by, schedule.end[i] + by
        schedule.hand = [random.randrange(hands) for _ in schedule.order] if hands > 1 else None
    return schedule
