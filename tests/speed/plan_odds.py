"""How well forecasts are kept, over simulated shops with hidden paces, and what they cost.

odds_inside_…: share of builds done within the 80 % range. odds_kept_…, odds_day_kept_…, odds_surely_…: done by the
likely moment, by the end of its day, by the sure moment. odds_too_wide_…: mean width of the range over that of the
true one. Each for CASES, after so many earlier builds. odds_ms_…: CPU time of learning, choosing and sampling.
odds_changed_percent: how often the next advice changes while its plan gets no better, over played builds whose
operations take the shop's time and not the recipe's; odds_changed_as_written_percent: without the shop's pace.
"""

from collections.abc import Iterator
from dataclasses import astuple, fields
from time import process_time

from benchbell.plan.odds.choice import chosen
from benchbell.plan.odds.pace import UNTIMED, learned
from benchbell.plan.odds.samples import sampled_finishes
from benchbell.plan.planner import best_plans
from benchbell.plan.search.budget import tries
from benchbell.plan.search.random import Random
from benchbell.plan.tasks.from_builds import problem_from_builds
from msgspec.structs import replace
from plan.played import Played
from plan.replanned import changes_without_gain
from plan.shop_day import MONDAY, request_for
from plan.simulated_shop import Coverage, Shop, coverage

CASES = (
    ("hall-bench", 1),
    ("bedside-table", 1),
    ("garden-stool wall-cabinet", 1),
    ("hall-bench bedside-table", 2),
)
"""Recipes, pieces of each."""

PAST = (0, 3, 9)
"""Earlier builds."""


def figures(everything: bool) -> Iterator[tuple[str, float]]:
    """Each figure by its name."""
    shops = range(100, 300 if everything else 150)
    for past in PAST:
        found = [astuple(coverage(names.split(), pieces, past, shops)) for names, pieces in CASES]
        for field, values in zip(fields(Coverage), zip(*found, strict=True), strict=True):
            yield f"odds_{field.name}_past_{past}", sum(values) / len(values)
    for names, pieces in CASES:
        yield f"odds_ms_{names.replace(' ', '_')}_{pieces}", 1000 * seconds(names.split(), pieces)
    for name, is_paced in (("odds_changed_percent", True), ("odds_changed_as_written_percent", False)):
        runs = [changes_without_gain(seed, is_paced) for seed in range(60 if everything else 12)]
        yield name, 100 * sum(changed for _, changed in runs) / sum(asked for asked, _ in runs)


def seconds(names: list[str], pieces: int) -> float:
    """CPU time of all that odds cost in one planning, after nine earlier builds of each."""
    builds = Played(names, pieces, MONDAY).open()
    source = problem_from_builds(builds, request_for(*builds).hours, {}, MONDAY)
    shop = Shop(1)
    timings = [replace(one, build=one.build + build.id) for build in builds for one in shop.logged(build.sheet, 9)]
    plans = best_plans(source.problem, tries(200), Random(1))
    sampled_finishes(source.problem, source.tasks, plans[0], UNTIMED)  # once, so that everything is imported
    began = process_time()
    pace = learned(timings)
    plan = chosen(source.problem, source.tasks, plans, pace)
    sampled_finishes(source.problem, source.tasks, plan, pace)
    return process_time() - began
