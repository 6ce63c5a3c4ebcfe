"""From what was recorded to the plan: the same on the phone and on the server, also when one goes on from another."""

from functools import cache, partial
from random import Random
from types import SimpleNamespace

import msgspec
import pytest
from benchbell.bench.happenings import SHOP, Kept
from benchbell.plan.advise import advise
from benchbell.plan.kept_plan import kept_plan
from benchbell.plan.odds.pace import UNTIMED, learned, of_builds
from benchbell.plan.odds.timings import Timing
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random as Random32
from benchbell.planner.current_plan import CurrentPlan
from benchbell.planner.process import asked_of
from msgspec.structs import replace
from plan.shop_day import MONDAY
from plan.simulated_shop import Shop
from plan.wandered import MINUTE, Wandered
from shipped import FOLDER, RECIPES, compile_file
from twins import ask_the_page

ZONE = "Europe/Berlin"
PLAYS, LOOKS, STEPS, TRIES = range(8), 4, 12, 40

CREWS = ([], [{"name": "Ann", "unable": ["table saw"]}, {"name": "Ben"}], [], [{"name": "Ann"}, {"name": "Ben"}], [])


def pace_in(shop: Wandered, seed: int):
    """What a shop has learned from an earlier build of each, and from these; every fourth knows nothing."""
    if seed % 4 == 0:
        return UNTIMED
    sheets = {id: shop.books[id].started().sheet for id in shop.books}
    logged = [(id, one) for id, sheet in sheets.items() for one in Shop(seed).logged(sheet, 1)]
    now = [Timing(id, one.kind, one.person, one.planned, one.real) for id, one in logged[: 9 * seed]]
    return of_builds(learned([*(one for _, one in logged), *now]), set(sheets))


def found(problem, before):
    """The plans to choose from."""
    return best_plans(problem, tries(TRIES), Random32(1), before)


@cache
def play(seed):
    """What was recorded; the pace; and by look: happenings and moment, the plan that stood, and the server's own."""
    chance = Random(seed)
    names = chance.sample(sorted(path.stem for path in RECIPES), 1 + seed % 3)
    pieces = chance.randint(1, 2)
    shop = Wandered({name: compile_file(FOLDER / f"{name}.toml", pieces) for name in names}, MONDAY, chance)
    shop.record(SHOP, Kept("zone", ZONE), Kept("people", CREWS[seed % len(CREWS)]))
    pace, looks, stood, plans = pace_in(shop, seed), [], [], []
    told = None
    for _ in range(LOOKS):
        shop.wander(chance.randint(1, STEPS))
        now = shop.now // MINUTE * MINUTE
        question = CurrentPlan(None, None, SimpleNamespace(builds=shop.running)).question_at(now, ())
        asked = replace(asked_of(question), pace=pace)
        before = told and kept_plan(told, now)
        looks.append([len(shop.log), now])
        stood.append(told)
        told, plan, _ = advise(asked, partial(found, before=before))
        plans.append(plan)
    return shop.written(), pace, looks, stood, plans


@pytest.mark.parametrize("seed", PLAYS)
def test_the_phone_makes_the_servers_plan(seed):
    written, pace, looks, stood, plans = play(seed)
    there = ask_the_page("plan_plans_at", written, looks, stood, ZONE, pace, TRIES)["answer"]

    for here, answer in zip(plans, there, strict=True):
        assert answer["plan"] == msgspec.json.decode(msgspec.json.encode(here))
        assert {one.op for one in here.placed} <= set(answer["tasks"])


def test_the_plays_have_a_pace_several_hands_and_plans_that_go_on_from_others():
    plays = [play(seed) for seed in PLAYS]
    placed = [one.op for *_, plans in plays for plan in plans for one in plan.placed]

    assert sum(told is not None for *_, stood, _ in plays for told in stood) >= 12
    assert {pace.timed > 0 for _, pace, *_ in plays} == {True, False}
    assert {len({one.hand for one in plan.placed}) > 1 for *_, plans in plays for plan in plans} == {True, False}
    assert {op.rpartition("|")[2] for op in placed} == {"work", "squeeze-out", "clamps-off"}
