"""From open builds to a problem, on the phone and on the server: the same, field for field."""

from datetime import datetime, timedelta
from functools import cache, partial
from random import Random
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import msgspec
import pytest
from benchbell.bench.happenings import (
    SHOP,
    Began,
    Clamped,
    ClampsOff,
    Finished,
    GlueOn,
    Kept,
    Measured,
    SetUp,
    Spoiled,
)
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.planner.current_plan import CurrentPlan, week_of
from benchbell.planner.days_off import read_days_off
from benchbell.planner.process import asked_of
from benchbell.planner.shop_hours import stretches
from bow_recipe import BORE, LAMINATE, MADE, OWNED, RELEASE, START, UNTIL
from dry_recipe import DRY
from hypothesis import given, settings
from hypothesis import strategies as st
from plan.wandered import HOUR, HOURS, MINUTE, OFF, Wandered
from shipped import RECIPES, compile_file
from small_recipes import FIT, PARTS, compiled, glue, work
from twins import ask_the_page

ZONE = "Europe/Berlin"
"""Where clocks are set forward on 28 March 2027, at two in the night, and back on 31 October."""

FRIDAY = int(datetime(2027, 3, 26, 7, 45, tzinfo=ZoneInfo(ZONE)).timestamp() * 1000)
PLAYS, LOOKS, STEPS = 33, 10, 16

SHEETS = {path.stem: partial(compile_file, path) for path in RECIPES} | {
    "bow": partial(compiled, START + MADE + UNTIL + RELEASE + BORE),
    "pressed": partial(compiled, START + OWNED + LAMINATE),
    "shelf": partial(compiled, DRY),
}
"""What sheets are made of, given how many pieces."""


def problem_at(builds, now):
    """The server's problem and its tasks."""
    question = CurrentPlan(None, None, SimpleNamespace(builds=builds)).question_at(now // MINUTE * MINUTE, ())
    asked = asked_of(question)
    source = problem_from_builds(
        asked.builds, asked.hours, asked.clamps, asked.now, 1, asked.fixtures, asked.finishing_room, asked.gone,
        asked.workers,
    )  # fmt: skip
    tasks = [{**msgspec.to_builtins(task), "operation": task.operation.id} for task in source.tasks.values()]
    return json_of({"problem": source.problem, "tasks": tasks})


def json_of(value):
    return msgspec.json.decode(msgspec.json.encode(value))


GLUED = PARTS + work("saw", ["leg"], 'station = "table saw"') + FIT + glue(', clamps = { "heavy F" = 2 }')
SETUP = '\n[[setup]]\nid = "stop"\nstation = "mitre saw"\nset = { stop = "420 mm" }\nminutes = 4\n'
OPEN = (Began("A/fit"), Finished("A/fit"), Began("A/glue"), GlueOn("A/glue"))
CLAMPED = (*OPEN, Clamped("A/glue"))
NOT_ANN = Kept("people", [{"name": "Ann", "unable": ["assembly table"]}, {"name": "Ben"}])

STORIES = {
    "glue is open in the evening, and the first of two may not glue": (GLUED, (NOT_ANN, *OPEN), 10),
    "glue is open for more than an hour, and something was set up since": (
        GLUED + SETUP, (*OPEN, 65, SetUp("stop", "mitre saw")), 10,
    ),
    "squeeze-out is rubbery for some minutes more": (GLUED, CLAMPED, 35),
    "squeeze-out is hard": (GLUED, CLAMPED, 55),
    "the first of two may not glue, but may clean squeeze-out off": (GLUED, (NOT_ANN, *CLAMPED), 20),
    "clamps came off with the squeeze-out on": (GLUED, (*CLAMPED, 70, ClampsOff("A/glue")), 1),
    "a board too damp to be cut is spoiled": (
        DRY, (Measured("moisture", "A", 12), Finished("A/measure"), Finished("A/cut"), Spoiled("A/board-1")), 1,
    ),
}  # fmt: skip
"""By what they are: a recipe, what was recorded on a Friday evening, minutes that passed between, and until now."""


@pytest.mark.parametrize("story", STORIES)
def test_a_story_makes_the_same_problem_on_the_phone(story):
    text, happened, minutes = STORIES[story]
    shop = Wandered({"b": compiled(text)}, FRIDAY + 10 * HOUR, Random(1))
    shop.record(SHOP, Kept("zone", ZONE))
    for what in happened:
        if isinstance(what, int):
            shop.now += what * MINUTE
        else:
            shop.record(SHOP if isinstance(what, Kept) else "b", what)
    now = shop.now + minutes * MINUTE
    here = problem_at(shop.running, now)

    assert here["tasks"]
    assert ask_the_page("plan_problems", shop.written(), [[len(shop.log), now]], ZONE)["answer"] == [here]


@cache
def play(seed):
    """What was recorded, the looks at it, and the server's problem at each."""
    chance = Random(seed)
    names = list(dict.fromkeys([sorted(SHEETS)[seed % len(SHEETS)], *chance.sample(sorted(SHEETS), seed % 3)]))
    pieces = chance.randint(1, 2)
    begins = FRIDAY + chance.choice([0, 0, 8, 9, 11]) * HOUR
    shop = Wandered({name: SHEETS[name](pieces) for name in names}, begins, chance)
    shop.record(SHOP, Kept("zone", ZONE))
    for _ in range(3):
        shop.keep()
    for build in names[1:]:
        shop.go_ahead(build, chance.choice([0, 0.5, 0.8, 0.9]))
    looks, problems = [], []
    for _ in range(LOOKS):
        shop.wander(chance.randint(1, STEPS))
        now = shop.now + chance.randint(0, 5 * MINUTE)
        looks.append([len(shop.log), now])
        problems.append(problem_at(shop.running, now))
    return shop.written(), looks, problems


@pytest.mark.parametrize("seed", range(PLAYS))
def test_the_problem_of_open_builds_is_the_same_on_the_phone(seed):
    written, looks, problems = play(seed)
    there = ask_the_page("plan_problems", written, looks, ZONE)["answer"]

    for here, found in zip(problems, there, strict=True):
        assert found["tasks"] == here["tasks"]
        for name in here["problem"]:
            assert found["problem"][name] == here["problem"][name], name
        assert found["problem"].keys() == here["problem"].keys()


def test_the_plays_have_all_that_a_problem_may_have():
    problems = [problem["problem"] for seed in range(PLAYS) for problem in play(seed)[2]]
    ops = [op for problem in problems for op in problem["ops"]]
    holds = [hold for problem in problems for hold in problem["holds"]]

    assert len(problems) >= 300
    for field in ("setup", "ready", "breakable", "begun", "due", "by", "dusty", "wet", "fiddly"):
        assert any(op[field] for op in ops), field
    for field in ("crew", "here", "wet_until", "clamps"):
        assert any(problem[field] for problem in problems), field
    assert {op["weight"] for op in ops} == {1, 4, 9}
    assert {hold["kind"].startswith("fixture") for hold in holds if not hold["take"]} == {True, False}
    assert any(hand["away"] and hand["unable"] for problem in problems for hand in problem["crew"])
    assert any(station["standing"] for problem in problems for station in problem["stations"])
    assert any("" == problem["here"] for problem in problems)
    assert any(window["start"] == 0 and window["end"] < 60 for problem in problems for window in problem["windows"])


ZONES = ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Beirut", "America/Nuuk", "UTC"]
"""Two of these change their clocks at or before midnight, one by half an hour."""


@st.composite
def moments(draw):
    """A zone, and a moment in ms: mostly within some days of a change of its clocks."""
    zone = draw(st.sampled_from(ZONES))
    change = draw(st.sampled_from([(2027, 3, 14), (2027, 3, 28), (2027, 4, 4), (2027, 10, 3), (2027, 10, 31),
                                   (2027, 11, 7), (2026, 12, 31)]))  # fmt: skip
    near = datetime(*change, tzinfo=ZoneInfo(zone)) + timedelta(minutes=draw(st.integers(-6_000, 3_000)))
    return zone, int(near.timestamp() * 1000) + draw(st.integers(0, MINUTE))


@settings(max_examples=300, deadline=None)  # the first answer waits for node to start
@given(moments(), st.sampled_from(HOURS), st.sampled_from(OFF), st.integers(1, 9_000))
def test_working_hours_are_the_same_on_the_phone(moment, hours, closed, minutes):
    (zone, now), off = moment, closed or []
    days = read_days_off(off)
    here = stretches(week_of({"hours": hours}), ZoneInfo(zone), now, minutes, days)
    named = [{"from": f"{one.first}", "to": f"{one.last}", "name": one.name} for one in days]

    assert ask_the_page("plan_stretches", zone, hours, now, minutes, named)["answer"] == json_of(here)
