"""A shop's pace: how long work takes there beside the recipe's minutes, learned from what was timed.

The logarithm of real over planned minutes is a sum: the shop's own level, an effect of the kind of operation, one of
the person, one that all operations of a build share, and chance. All are normal, so real times are lognormal. With
variances given, the effects are the best linear unbiased predictions (mixed model equations, Henderson 1975): each
group's mean, shrunk toward the shop's the more, the fewer of it were timed. The variances are learned too, each
shrunk toward a prior by an inverse chi-square (empirical Bayes by expectation maximization, Dempster, Laird and Rubin
1977). Literature from memory.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from math import log

from msgspec import Struct

from benchbell.plan.odds.matrix import Matrix, inverse_of
from benchbell.plan.odds.timings import Timing, believed

Effect = tuple[str, str]
"""A level of a factor, such as ("kind", "table saw"); the shop's own level is SHOP."""

SHOP: Effect = ("shop", "")

LEVEL = log(1.1)
"""Where the shop's level is looked for before anything is timed: makers plan a little short. No source."""

PRIOR = {"shop": 0.25**2, "kind": 0.2**2, "person": 0.15**2, "build": 0.15**2, "chance": 0.35**2}
"""Variances by factor before anything is timed; chance is an operation's own. Common practice, no source."""

WEIGHT = {"kind": 6, "person": 6, "build": 6, "chance": 12}
"""How many groups, of chance how many operations, each prior variance counts for. One shop tells nothing of shops."""

ROUNDS = 4
"""Rounds of expectation maximization; more of them move no variance by a tenth."""


class Pace(Struct, frozen=True):
    """What was learned. timed: from so many operations. place: an effect's place in mean and covariance.

    mean: of effects; the shop's includes LEVEL. people: how many operations each person was timed at. workers: by
    build, who did the last of it that was timed. variances: by factor.
    """

    timed: int
    place: dict[Effect, int]
    mean: list[float]
    covariance: Matrix
    variances: dict[str, float]
    people: dict[str, int]
    workers: dict[str, str]


class Cell(Struct):
    """Timings that share all effects: their places, how many there are, sum and sum of squares of log ratios."""

    places: list[int]
    count: int = 0
    total: float = 0.0
    squares: float = 0.0


def learned(timings: Sequence[Timing]) -> Pace:
    """The pace of a shop in which these were timed, the oldest first; the prior where there are none."""
    useful = believed(timings)
    place: dict[Effect, int] = {SHOP: 0}
    cells: dict[tuple[Effect, ...], Cell] = {}
    for one in useful:
        effects = effects_of(one.build, one.kind, one.person)
        if effects not in cells:
            cells[effects] = Cell([place.setdefault(effect, len(place)) for effect in effects])
        cell, value = cells[effects], log(one.real / one.planned) - LEVEL
        cell.count += 1
        cell.total += value
        cell.squares += value * value
    mean, covariance, variances = fitted(list(place), list(cells.values()))
    return Pace(
        timed=len(useful),
        place=place,
        mean=[mean[0] + LEVEL, *mean[1:]],
        covariance=covariance,
        variances=variances,
        people=Counter(one.person for one in useful if one.person),
        workers={one.build: one.person for one in useful if one.person},
    )


def effects_of(build: str, kind: str, person: str) -> tuple[Effect, ...]:
    """The effects that a time is the sum of."""
    known = (("kind", kind), ("person", person), ("build", build))
    return SHOP, *(effect for effect in known if effect[1])


def fitted(effects: Sequence[Effect], cells: Sequence[Cell]) -> tuple[list[float], Matrix, dict[str, float]]:
    """Means and covariance of the effects, and the variances that explain the cells best."""
    variances = PRIOR
    for _ in range(ROUNDS if cells else 0):
        mean, covariance = predicted(effects, cells, variances)
        variances = better_variances(effects, cells, mean, covariance)
    return *predicted(effects, cells, variances), variances


def predicted(
    effects: Sequence[Effect], cells: Sequence[Cell], variances: dict[str, float]
) -> tuple[list[float], Matrix]:
    """Means and covariance of the effects with these variances: the mixed model equations solved."""
    equations = [[0.0] * len(effects) for _ in effects]
    for n, (factor, _) in enumerate(effects):
        equations[n][n] = 1 / variances[factor]
    right = [0.0] * len(effects)
    for cell in cells:
        for a in cell.places:
            right[a] += cell.total / variances["chance"]
            for b in cell.places:
                equations[a][b] += cell.count / variances["chance"]
    covariance = inverse_of(equations)
    return [sum(x * y for x, y in zip(row, right, strict=True)) for row in covariance], covariance


def better_variances(
    effects: Sequence[Effect], cells: Sequence[Cell], mean: Sequence[float], covariance: Matrix
) -> dict[str, float]:
    """The variances that these effects speak for, each shrunk toward its prior."""
    seen: dict[str, list[float]] = defaultdict(list)
    for n, (factor, _) in enumerate(effects):
        seen[factor].append(mean[n] ** 2 + covariance[n][n])
    of_chance = 0.0
    for cell in cells:
        fit = sum(mean[a] for a in cell.places)
        doubt = sum(covariance[a][b] for a in cell.places for b in cell.places)
        of_chance += cell.squares - 2 * fit * cell.total + cell.count * (fit * fit + doubt)
    squares = {factor: sum(seen[factor]) for factor in WEIGHT} | {"chance": of_chance}
    counts = {factor: len(seen[factor]) for factor in WEIGHT} | {"chance": sum(cell.count for cell in cells)}
    return PRIOR | {
        factor: (weight * PRIOR[factor] + squares[factor]) / (weight + counts[factor])
        for factor, weight in WEIGHT.items()
    }


def expected_log(pace: Pace, build: str, kind: str) -> float:
    """The logarithm of real over planned minutes as it is expected of such an operation of the build."""
    people = {pace.workers[build]: 1} if build in pace.workers else pace.people
    of_people = sum(mean_of(pace, ("person", name)) * timed for name, timed in people.items())
    own = mean_of(pace, SHOP) + mean_of(pace, ("kind", kind)) + mean_of(pace, ("build", build))
    return own + of_people / max(1, sum(people.values()))


def mean_of(pace: Pace, effect: Effect) -> float:
    """What was learned of an effect; 0 of one that nobody has met."""
    return pace.mean[pace.place[effect]] if effect in pace.place else 0.0


UNTIMED = learned(())
"""A shop of which nothing is known yet."""
