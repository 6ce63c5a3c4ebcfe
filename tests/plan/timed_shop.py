"""Timings of a shop whose effects are known."""

from math import exp
from random import Random

from benchbell.plan.odds.timings import Timing


def timings_of(seed, builds, shop=0.2, chance=0.3, people=("ann", "bob")):
    """Timings of a shop whose effects are known: by seed, so many builds of 20 operations."""
    random = Random(seed)
    kinds = {kind: random.gauss(0, 0.25) for kind in ("table saw", "coat", "glue-up", "bench")}
    persons = {person: random.gauss(0, 0.15) for person in people}
    found = []
    for n in range(builds):
        of_build = random.gauss(0, 0.2)
        person = random.choice(people)
        for _ in range(20):
            kind = random.choice(sorted(kinds))
            real = 30 * exp(shop + kinds[kind] + persons[person] + of_build + random.gauss(0, chance))
            found.append(Timing(f"build {n}", kind, person, 30, real))
    return found
