"""Drawn durations: for each sample, how long every operation takes.

Common random numbers: what is drawn for an operation or an effect depends on its name and the sample alone. So plans
that are compared meet the same luck, and a forecast does not jump because something else was done. The phone draws the
same: it does the same sums in the same order.
"""

from collections.abc import Mapping, Sequence
from math import exp, sqrt
from statistics import NormalDist
from zlib import crc32

from msgspec import Struct

from benchbell.plan.odds.matrix import dot, root_of
from benchbell.plan.odds.pace import SHOP, Effect, Pace, place_of
from benchbell.plan.search.random import Random

STEPS = 1024
NORMALS = [NormalDist().inv_cdf((n + 0.5) / STEPS) for n in range(STEPS)]
"""The middle of each of STEPS equally likely parts of the standard normal distribution."""


class Duration(Struct, frozen=True):
    """An operation's planned attended minutes, and what its real ones depend on. id: names its luck."""

    id: str
    minutes: int
    build: str
    kind: str


def drawn_minutes(pace: Pace, durations: Sequence[Duration], count: int) -> list[list[int]]:
    """By sample, the minutes of each operation; whole, and at least 1 where any are planned."""
    shared = shared_factors(pace, durations, count)
    chance = [exp(value) for value in scaled(NORMALS, pace.variances["chance"])]
    by_operation = []
    for one in durations:
        draw = Random(crc32(one.id.encode())).below
        least = min(one.minutes, 1)
        shares = shared[one.build, one.kind]
        by_operation.append([max(least, int(one.minutes * share * chance[draw(STEPS)] + 0.5)) for share in shares])
    return [list(sample) for sample in zip(*by_operation, strict=True)]


def shared_factors(pace: Pace, durations: Sequence[Duration], count: int) -> dict[tuple[str, str], list[float]]:
    """By build and kind, for each sample the factor that all such operations of the build share."""
    effects = used_effects(pace, durations)
    drawn = drawn_effects(pace, effects, count)
    persons = {one.build: drawn_persons(pace, one.build, drawn, count) for one in durations}
    return {
        (build, kind): [
            exp(of_shop + of_kind + of_build + of_person)
            for of_shop, of_kind, of_build, of_person in zip(
                drawn[SHOP], drawn["kind", kind], drawn["build", build], persons[build], strict=True
            )
        ]
        for build, kind in dict.fromkeys((one.build, one.kind) for one in durations)
    }


def used_effects(pace: Pace, durations: Sequence[Duration]) -> list[Effect]:
    """The effects on which these durations depend, whoever does the work."""
    kinds = dict.fromkeys(("kind", one.kind) for one in durations)
    builds = dict.fromkeys(("build", one.build) for one in durations)
    return [SHOP, *kinds, *builds, *(("person", name) for name, _ in pace.people)]


def drawn_effects(pace: Pace, effects: Sequence[Effect], count: int) -> dict[Effect, list[float]]:
    """By effect, a value for each sample: jointly those that were learned, of the rest each from its prior."""
    luck = {effect: normals("|".join(effect), count) for effect in effects}
    known = {effect: place for effect in effects if (place := place_of(pace, *effect)) is not None}
    places = list(known.values())
    root = root_of([[pace.covariance[max(a, b)][min(a, b)] for b in places[: n + 1]] for n, a in enumerate(places)])
    by_sample = [list(values) for values in zip(*(luck[effect] for effect in known), strict=True)]
    learned = {
        effect: [pace.mean[place] + dot(row, sample) for sample in by_sample]
        for (effect, place), row in zip(known.items(), root, strict=True)
    }
    return {effect: learned.get(effect) or scaled(luck[effect], pace.variances[effect[0]]) for effect in effects}


def scaled(luck: Sequence[float], variance: float) -> list[float]:
    """Standard normal values with this variance."""
    return [sqrt(variance) * value for value in luck]


def drawn_persons(pace: Pace, build: str, drawn: Mapping[Effect, list[float]], count: int) -> list[float]:
    """For each sample, the effect of who does the build's work: its worker, or anybody by how much each has done."""
    if not pace.people:
        return scaled(normals(f"person of {build}", count), pace.variances["person"])
    if build in pace.workers:
        return drawn["person", pace.workers[build]]
    draw = Random(crc32(build.encode()))
    names = [name for name, timed in pace.people for _ in range(timed)]
    return [drawn["person", draw.one_of(names)][sample] for sample in range(count)]


def normals(name: str, count: int) -> list[float]:
    """So many standard normal values, always the same for a name: one from each of equally likely parts, shuffled.

    Latin hypercube sampling (McKay, Beckman and Conover 1979, from memory), so that few samples have no odd quantiles.
    """
    draw = Random(crc32(name.encode())).below
    values = [NormalDist().inv_cdf((n + 0.5) / count) for n in range(count)]
    for n in range(count - 1, 0, -1):
        other = draw(n + 1)
        values[n], values[other] = values[other], values[n]
    return values
