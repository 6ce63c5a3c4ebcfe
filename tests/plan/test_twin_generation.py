"""The page's twin of schedule generation makes the same schedules as the Python half, minute by minute."""

import random
from functools import cache

import pytest
from benchbell.plan.model.clamps import GUARD, WIDTH
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.hours import FAR, hours_of
from benchbell.plan.model.problem import Window
from benchbell.plan.planner import plan_for
from benchbell.plan.search.budget import tries
from benchbell.plan.search.deadlock import deadlock_free_order
from benchbell.plan.search.infeasible import feasible_part
from benchbell.plan.search.parallel_generation import Priorities, generate_with_checkpoints
from benchbell.plan.search.random import Random
from benchbell.plan.search.resumption import difference_between
from benchbell.plan.search.reversed import latest_by_backward_pass, reversed_problem
from benchbell.plan.search.right_shift import right_shifted
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.search.serial_resumption import generate_resumed
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from plan.played import Played
from plan.problems import problems
from plan.replanned import do_first, source_at
from plan.shop_data import shop_problem, with_craft
from plan.shop_day import MONDAY
from plan.simulated_shop import Shop
from twins import ask_the_page

WEIGHTS = ((0, 0, 4), (4, 30, 4), (16, 60, 1), (1, FAR, 16), (4, 15, 0))


def told(schedule):
    """A schedule as the page tells it."""
    if schedule is None:
        return None
    return [
        schedule.order, schedule.start, schedule.end, schedule.finish, schedule.changes, schedule.lateness,
        schedule.unplaced,
    ]  # fmt: skip


def generated_told(found, kinds):
    """All that is kept of a generation, as the page tells it."""
    if found is None:
        return None
    checkpoints = [[x.place, x.changes, x.lateness, state_told(x.state, kinds)] for x in found.checkpoints]
    return [told(found.schedule), found.costs, checkpoints, found.step]


def state_told(state, kinds):
    """A state as the page tells it: clamps kind by kind, and no place for work without a station."""
    free = free_told(state.free, kinds)
    due, wanted = flat(state.due), flat(sorted(state.wanted.items()))
    busy, standing = state.busy[:-1], state.standing[:-1]
    return [
        state.now, state.window, free, state.eligible, standing, busy, state.waits, state.ready, state.here, due,
        state.wet_until, wanted,
    ]  # fmt: skip


def free_told(free, kinds):
    """Free clamps, kind by kind."""
    return [(free >> WIDTH * kind & (1 << WIDTH) - 1) - GUARD for kind in range(kinds)]


def flat(pairs):
    return [one for pair in pairs for one in pair]


class Here:
    """What Python gives for each call of `generation_asks.ts`."""

    def __init__(self, problem):
        self.compiled = compile_problem(problem)
        self.kinds = len(dict.fromkeys((*problem.clamps, *(hold.kind for hold in problem.holds))))

    def answers(self, calls):
        return [getattr(self, name)(*given) for name, *given in calls]

    def parallel(self, weighed, latest, most_late, windows):
        hours = self.compiled.hours if windows is None else hours_of(windows, self.compiled.start)
        found = generate_with_checkpoints(self.compiled, hours, Priorities(*weighed), latest, most_late)
        return generated_told(found, self.kinds)

    def resumed(self, first, others, latest, most_late):
        compiled, answers, old = self.compiled, [], Priorities(*first)
        at = generate_with_checkpoints(compiled, compiled.hours, old, latest)
        for weighed in others:
            if at.schedule.unplaced:
                break
            by = Priorities(*weighed)
            difference = difference_between(compiled, old, by, at)
            answers.append(difference and [difference.first, difference.last])
            if difference is None:
                continue
            limited = generate_with_checkpoints(compiled, compiled.hours, by, latest, most_late, difference)
            at = generate_with_checkpoints(compiled, compiled.hours, by, latest, difference=difference)
            answers += [generated_told(limited, self.kinds), generated_told(at, self.kinds)]
            old = by
        return answers

    def serial(self, order, delays):
        return told(generate_serial(self.compiled, order, dict(delays)))

    def resumed_serially(self, orders):
        answers, at = [], None
        for order, delays in orders:
            found = generate_resumed(self.compiled, order, dict(delays), at)
            at = found or at
            answers.append(found and [told(found.schedule), [self.between_told(one) for one in found.between]])
        return answers

    def between_told(self, at):
        """A state between two places, as the page tells it."""
        return [at.now, free_told(at.free, self.kinds), at.changes, at.standing, at.busy]

    def shifted(self, weighed, latest):
        found = generate_with_checkpoints(self.compiled, self.compiled.hours, Priorities(*weighed), latest)
        return told(right_shifted(self.compiled, found.schedule))

    def backward(self, weighed, due):
        return latest_by_backward_pass(self.compiled, reversed_problem(self.compiled), due, Priorities(*weighed))

    def deadlock_free(self):
        return deadlock_free_order(self.compiled)


class Calls:
    """Random calls for a problem."""

    def __init__(self, problem, seed):
        self.problem, self.random = problem, random.Random(seed)
        self.compiled = compile_problem(problem)
        self.count = len(problem.ops)

    def weighed(self):
        """Values, many of them the same, and weights."""
        spread = self.random.choice((3, 100, 1000))
        return [[self.random.randint(-spread, spread) for _ in range(self.count)], *self.random.choice(WEIGHTS)]

    def other(self, weighed):
        """The same with a few other values, and now and then with other weights."""
        values, *weights = weighed
        values = values.copy()
        for _ in range(self.random.randint(1, 2)):
            values[self.random.randrange(self.count)] += self.random.randint(-200, 200)
        return [values, *(weights if self.random.randrange(8) else self.random.choice(WEIGHTS))]

    def latest(self):
        start = self.compiled.start
        return [start + self.random.randint(0, 3000) for _ in range(self.count)]

    def most_late(self):
        return self.random.choice((0, 200, 3000, 30000, FAR))

    def parallel(self):
        return ["parallel", self.weighed(), self.latest(), self.most_late(), None]

    def in_other_hours(self):
        """Without craft, whose closing times are those of the problem's hours."""
        values, setup_weight, most_idle, _ = self.weighed()
        at, windows = self.compiled.start, []
        for _ in range(self.random.randint(0, 30)):
            windows.append(Window(at, at + self.random.randint(30, 500)))
            at = windows[-1].end + self.random.randint(1, 600)
        return ["parallel", [values, setup_weight, most_idle, 0], self.latest(), FAR, windows]

    def resumed(self, times):
        chain = [self.weighed()]
        for _ in range(times):
            chain.append(self.other(chain[-1]))
        return ["resumed", chain[0], chain[1:], self.latest(), self.most_late()]

    def serial(self):
        """By some priorities, of which two neighbours change places, so that some orders are not allowed."""
        found = generate_with_checkpoints(
            self.compiled, self.compiled.hours, Priorities(*self.weighed()), [FAR] * self.count
        )
        order = found.schedule.order.copy()
        place = self.random.randrange(max(1, len(order) - 1))
        order[place : place + 2] = order[place : place + 2][::-1]
        if len(order) < self.count:
            order = self.random.sample(range(self.count), self.count)
        start = self.compiled.start
        delays = [(i, start + self.random.randint(0, 600)) for i in self.random.sample(order, len(order) // 4)]
        return ["serial", order, self.random.choice(([], delays))]

    def resumed_serially(self, times):
        """An order, and then often a part of it turned round or other delays."""
        _, order, delays = self.serial()
        orders = [[order, delays]]
        for _ in range(times):
            order, delays = order.copy(), [*delays]
            place = self.random.randrange(max(1, len(order)))
            if self.random.randrange(3):
                order[place : place + 2] = order[place : place + 2][::-1]
            else:
                late = self.compiled.start + self.random.randint(0, 900)
                delays = [pair for pair in delays if pair[0] != order[place]][: self.random.randint(0, 5)]
                delays += [(order[place], late)] * self.random.randrange(2)
            orders.append([order, delays])
        return ["resumed_serially", orders]

    def shifted(self):
        return ["shifted", self.weighed(), self.latest()]

    def backward(self):
        finish = self.compiled.start + self.random.randint(500, 6000)
        return ["backward", self.weighed(), [finish - self.random.choice((0, 0, 90)) for _ in range(self.count)]]

    def some(self, times):
        """So many of each."""
        calls = [["deadlock_free"]]
        for _ in range(times):
            calls += [self.parallel(), self.in_other_hours(), self.resumed(6), self.serial(), self.shifted()]
            calls += [self.backward(), self.resumed_serially(8)]
        return calls


def answers_on_both_sides(problem, calls):
    here, there = Here(problem).answers(calls), ask_the_page("plan_generations", problem, calls)["answer"]
    for (name, *_), answer, other in zip(calls, here, there, strict=True):
        assert answer == other, name
    return here


@settings(max_examples=150)
@given(problems(most=12), st.integers(0, 1000))
def test_small_problems(problem, seed):
    rest, _ = feasible_part(problem)
    if rest.ops:
        answers_on_both_sides(rest, Calls(rest, seed).some(2))


@settings(max_examples=100)
@given(problems(most=8), st.integers(0, 1000))
def test_problems_of_which_not_all_can_be_placed(problem, seed):
    calls = Calls(problem, seed)
    answers_on_both_sides(problem, [["deadlock_free"], calls.parallel(), calls.serial(), calls.backward()])


def with_limits(problem):
    """The shop's work with maximal lags and latest starts, some of which cannot be kept."""
    links = [replace(link, most=link.lag + 30 * (n % 5)) if n % 3 else link for n, link in enumerate(problem.links)]
    ops = [replace(op, by=problem.start + 60 * n) if n % 6 == 0 else op for n, op in enumerate(problem.ops)]
    return replace(problem, ops=tuple(ops), links=tuple(links))


@pytest.mark.parametrize(
    "problem_of", [lambda problem: problem, with_craft, with_limits], ids=["as it is", "with craft", "with limits"]
)
@pytest.mark.parametrize("name", ["shop01", "shop08"])
def test_generated_shops(name, problem_of):
    problem = problem_of(shop_problem(name))

    answers_on_both_sides(problem, Calls(problem, 1).some(4))


@cache
def played_problem(names, pieces, tasks):
    """What is left of these builds after so many tasks, done in the order of a quick plan."""
    shop, played = Shop(1), Played(names, pieces, MONDAY)
    luck = {build.id: 0.0 for build in played.open()}
    for _ in range(tasks):
        source = source_at(played)
        do_first(played, source, plan_for(source.problem, tries(2), Random(1)), shop, luck)
    return source_at(played).problem


@pytest.mark.parametrize(
    ("names", "tasks"), [(("hall-bench",), 0), (("hall-bench", "bedside-table"), 12), (("hall-bench",), 40)]
)
def test_played_builds(names, tasks):
    problem = played_problem(names, 2, tasks)
    assert problem.craft

    answers_on_both_sides(problem, Calls(problem, tasks).some(4))
