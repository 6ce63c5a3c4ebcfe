"""How often a phone without a server puts first what the server's planner puts first, in the same state.

States are sampled from builds of the shipped recipes, played through by the plan, one operation in six picked at
random; what rings is done first, such as taking clamps off. Two or three devices go on- and offline at random: one that
is online hears of all that was done and gets the server's plan, which may have gone through others since when it is
asked for in a state. phone_agrees_percent: with the plan of its own last sync. phone_alone_agrees_percent: had it never
got one. phone_costs_nothing_percent: with that plan, the phone's choice is the server's, or one that the server could
begin with and be done no later. phone_replan_ms: CPU time of one plan on a machine of a fourth of this one's speed, the
mean. planner_gz_kb: the thread's code as it is sent, compressed, of the page that was built last.
"""

import gzip
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from statistics import mean

import benchbell
import msgspec
from benchbell.bench.clocks import held_by
from benchbell.bench.happenings import Happening, Stamp
from benchbell.plan.kept_plan import kept_plan, standing_of
from benchbell.plan.model.compiled_problem import compile_problem
from benchbell.plan.model.schedule import objective
from benchbell.plan.report.messages import PlannedTask, PresentedPlan
from benchbell.plan.search.serial_generation import generate_serial
from benchbell.plan.tasks.from_builds import problem_from_builds
from benchbell.plan.tasks.task import key_of
from benchbell.planner.process import PlannerQuestion, asked_of, thought
from benchbell.planner.shop_hours import read_hours
from benchbell.recipe.shop_profile import ShopProfile
from msgspec.structs import replace
from plan.played import PHONE, Played, some_recipes
from twins import ask_the_page

MONDAY = int(datetime(2026, 12, 7, 8, tzinfo=UTC).timestamp() * 1000)
MINUTE = 60_000
STATES, ALL_STATES = 60, 2_000
PER_SHOP = 20
"""States sampled from one shop, so that many shops are seen."""

TURNS, AWAY = 0.15, 0.3
"""The chance that a device goes offline or comes back at one operation, and that it begins offline."""

ASTRAY = 6
SLOWER = 4
"""So many times as slow as this machine a phone is taken to be."""


class Recorded(Played):
    """Builds, and what of them no phone has heard yet."""

    def __init__(self, names: list[str], pieces: int, now: int, shop: str) -> None:
        self.shop = shop
        self.unheard: list[Happening] = []
        super().__init__(names, pieces, now)

    def record(self, build: str, *whats: object) -> None:
        """Record these happenings at the present moment."""
        for what in whats:
            self.n += 1
            one = Happening(f"h{self.n}", self.n, Stamp(self.now, self.n, PHONE), build, (), what)
            self.unheard.append(one)
            self.books[build].add(one)

    def tell(self) -> None:
        """Have the page's process hear of it."""
        raws = map(msgspec.to_builtins, self.unheard)
        ask_the_page("plan_heard", self.shop, [{k: v for k, v in raw.items() if v is not None} for raw in raws])
        self.unheard = []


@dataclass
class Tally:
    """States seen, in how many the phone agreed, and how long its plans took in ms."""

    states: int = 0
    agreed: int = 0
    alone: int = 0
    free: int = 0
    took: list[float] = field(default_factory=list)


def figures(whole: bool) -> Iterator[tuple[str, float]]:
    """Names and values."""
    tally, wanted, seed = Tally(), ALL_STATES if whole else STATES, 0
    while tally.states < wanted:
        play(seed, tally, min(wanted, tally.states + PER_SHOP))
        seed += 1
    yield "phone_states", tally.states
    yield "phone_agrees_percent", 100 * tally.agreed / tally.states
    yield "phone_alone_agrees_percent", 100 * tally.alone / tally.states
    yield "phone_costs_nothing_percent", 100 * tally.free / tally.states
    yield "phone_replan_ms", SLOWER * mean(tally.took)
    yield "planner_gz_kb", thread_bytes() / 1000


def thread_bytes() -> int:
    """The size of the planner's thread, compressed."""
    (file,) = Path(benchbell.__file__).parent.glob("page/assets/planner.worker-*.js")
    return len(gzip.compress(file.read_bytes()))


def play(seed: int, tally: Tally, most: int) -> None:
    """One shop from the first operation on, until so many states were seen."""
    rng = random.Random(seed)
    shop = Recorded(*some_recipes(rng), MONDAY, f"shop {seed}")
    begun = planned(shop, None)
    devices = rng.randint(2, 3)
    told, ages = [begun] * devices, [0] * devices
    offline = [rng.random() < AWAY for _ in told]
    last = begun
    while shop.open() and tally.states < most:
        shop.do_what_rings()
        if not shop.open():
            return
        presented = planned(shop, last)
        first = presented.steps[0]
        away = [n for n, age in enumerate(ages) if age]
        if away and first.setup_at - shop.now < MINUTE:
            count(shop, presented, told[rng.choice(away)], tally)
        for n in range(devices):
            offline[n] ^= rng.random() < TURNS
            ages[n] += 1
            if not offline[n]:
                last = told[n] = presented
                ages[n] = 0
        others = ready(shop, presented)
        step = rng.choice(others) if others and rng.randrange(ASTRAY) == 0 else first
        shop.now = max(shop.now, first.setup_at if step is first else shop.now)
        shop.do(step, shop.now + step.end - step.setup_at)


def question_at(shop: Played, last: PresentedPlan | None) -> PlannerQuestion:
    """What the server is asked. last: its plan before."""
    before = kept_plan(last, shop.now) if last else None
    return PlannerQuestion(shop.open(), read_hours(None), "Etc/UTC", {}, shop.now, ShopProfile(), before=before)


def planned(shop: Played, last: PresentedPlan | None) -> PresentedPlan:
    """The server's plan."""
    answer = thought(question_at(shop, last))
    assert answer.report is not None
    return replace(answer.report, stands=standing_of(last)) if answer.stays and last else answer.report


def ready(shop: Played, presented: PresentedPlan) -> list[PlannedTask]:
    """Steps of the plan that could be done at once."""
    free = {
        (build.id, op.id)
        for build in shop.open()
        for op in build.sheet.operations
        if build.bench.operations[op.id].status == "ready" and not held_by(op, build.running, shop.now)
    }
    return [step for step in presented.steps if step.act == "work" and (step.build, step.operation) in free]


def count(shop: Recorded, presented: PresentedPlan, told: PresentedPlan, tally: Tally) -> None:
    """Ask the phone, and compare."""
    shop.tell()
    wanted = (presented.steps[0].build, presented.steps[0].operation)
    chosen, took = choice(shop, told)
    tally.states += 1
    tally.took.append(took)
    tally.agreed += chosen == wanted
    tally.alone += choice(shop, None)[0] == wanted
    tally.free += chosen == wanted or (chosen is not None and costs_nothing(shop, presented, chosen))


def costs_nothing(shop: Played, presented: PresentedPlan, chosen: tuple[str, str]) -> bool:
    """True if starting with the chosen operation, all else in the plan's order, makes nothing worse."""
    request = asked_of(question_at(shop, None))
    source = problem_from_builds(request.builds, request.hours, request.clamps, request.now, gone=request.gone)
    compiled = compile_problem(source.problem)
    number = {id: n for n, id in enumerate(compiled.ids)}
    order = [number[key_of(step.build, step.operation, step.act)] for step in presented.steps]
    first = next(i for i, step in zip(order, presented.steps, strict=True) if (step.build, step.operation) == chosen)
    usual, other = (generate_serial(compiled, one) for one in (order, [first, *(i for i in order if i != first)]))
    return bool(usual and other) and objective(compiled, other) <= objective(compiled, usual)


def choice(shop: Recorded, told: PresentedPlan | None) -> tuple[tuple[str, str] | None, float]:
    """What the phone puts first, and how long its plan took, in ms."""
    told = told and msgspec.to_builtins(told)
    answer = ask_the_page("plan_phones_choice", shop.shop, shop.now, ends(shop.now), told)["answer"]
    first = answer["first"]
    return (first["build"], first["operation"]) if first else None, answer["ms"]


def ends(now: int) -> int:
    """When the hands stop today."""
    return now - now % (24 * 60 * MINUTE) + 17 * 60 * MINUTE
