"""A shop's pace: how long work takes there beside the recipe's minutes, learned from what was timed.

The logarithm of real over planned minutes is a sum: the shop's own level, an effect of the kind of operation, one of
the person, one that all operations of a build share, and chance. All are normal, so real times are lognormal. With
variances given, the effects are the best linear unbiased predictions (mixed model equations, Henderson 1975): each
group's mean, shrunk toward the shop's the more, the fewer of it were timed. The variances are learned too, each
shrunk toward a prior by an inverse chi-square (empirical Bayes by expectation maximization, Dempster, Laird and Rubin
1977). Literature from memory.
"""

from collections import Counter, defaultdict
from collections.abc import Collection, Sequence
from math import log

from msgspec import Struct
from msgspec.structs import replace

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


DECIMALS = 9
"""What is learned is rounded to so many, so that server and phone count with the very same figures, shortly written.
Two covariances that differ by less say nothing different, and what they are the covariance of stays positive."""


class Pace(Struct, frozen=True):
    """What was learned of how long work takes in this shop. timed: from so many operations.

    place: by factor and name, an effect's place in mean and covariance; the shop's own has the name "". mean: of
    effects; the shop's includes LEVEL. covariance: each row up to its diagonal. variances: by factor. people: with
    the operations each was timed at. workers: by build, who did the last of it that was timed.
    """

    timed: int
    place: dict[str, dict[str, int]]
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    variances: dict[str, float]
    people: tuple[tuple[str, int], ...]
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
        place=by_factor(list(place)),
        mean=rounded([mean[0] + LEVEL, *mean[1:]]),
        covariance=tuple(rounded(row[: n + 1]) for n, row in enumerate(covariance)),
        variances={factor: round(variance, DECIMALS) for factor, variance in variances.items()},
        people=tuple(Counter(one.person for one in useful if one.person).items()),
        workers={one.build: one.person for one in useful if one.person},
    )


def by_factor(effects: Sequence[Effect]) -> dict[str, dict[str, int]]:
    """By factor and name, each effect's place among these."""
    found: dict[str, dict[str, int]] = {}
    for n, (factor, name) in enumerate(effects):
        found.setdefault(factor, {})[name] = n
    return found


def rounded(values: Sequence[float]) -> tuple[float, ...]:
    """The values as they are kept."""
    return tuple(round(value, DECIMALS) for value in values)


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
    people = ((pace.workers[build], 1),) if build in pace.workers else pace.people
    of_people, count = 0.0, 0
    for name, timed in people:
        of_people += mean_of(pace, "person", name) * timed
        count += timed
    return (
        mean_of(pace, *SHOP) + mean_of(pace, "kind", kind) + mean_of(pace, "build", build) + of_people / max(1, count)
    )


def mean_of(pace: Pace, factor: str, name: str) -> float:
    """What was learned of an effect; 0 of one that nobody has met."""
    place = place_of(pace, factor, name)
    return 0.0 if place is None else pace.mean[place]


def place_of(pace: Pace, factor: str, name: str) -> int | None:
    """An effect's place in mean and covariance; None of one that nobody has met."""
    return pace.place.get(factor, {}).get(name)


def of_builds(pace: Pace, builds: Collection[str]) -> Pace:
    """The pace with all that plans of these builds depend on, and without what was learned of others alone."""
    kept = sorted(
        (place, (factor, name))
        for factor, names in pace.place.items()
        for name, place in names.items()
        if factor != "build" or name in builds
    )
    places = [place for place, _ in kept]
    return replace(
        pace,
        place=by_factor([effect for _, effect in kept]),
        mean=tuple(pace.mean[place] for place in places),
        covariance=tuple(tuple(pace.covariance[a][b] for b in places[: n + 1]) for n, a in enumerate(places)),
        workers={build: person for build, person in pace.workers.items() if build in builds},
    )


UNTIMED = learned(())
"""A shop of which nothing is known yet."""
