"""Those who work here, as the shop's settings have them: what each may not use, and when each is there."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from msgspec import Struct

from benchbell.findings import Refused
from benchbell.plan.tasks.hours import Worker
from benchbell.planner.days_off import DaysOff, read_days_off
from benchbell.planner.shop_hours import Week, read_hours, stretches, zone_named

MOST = 8
"""As many as the planner plans for."""

NEXT_STEP = "Put it right under People on the Shop screen."


class Person(Struct, frozen=True):
    """Somebody who works here. unable: stations they may not use. week: their own hours, None for the shop's."""

    name: str
    unable: tuple[str, ...] = ()
    week: Week | None = None
    away: tuple[DaysOff, ...] = ()


def read_people(value: Any) -> tuple[Person, ...]:
    """The setting "people": a list of {name, unable, hours, away}; all but the name may be left out. None is nobody.

    Raises Refused when it is no such list, a name is missing or stands twice, or hours or dates are wrong.
    """
    if value is None:
        return ()
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) > MOST:
        raise Refused(f"The people are {value!r:.80}, and not a list of at most {MOST}.", NEXT_STEP)
    people = tuple(map(read_person, value))
    names = [person.name for person in people]
    for name in names:
        if names.count(name) > 1:
            raise Refused(f"Two people are called {name}.", "Give each a name of their own.")
    return people


def read_person(value: Any) -> Person:
    """One of the people. Raises Refused as `read_people` does."""
    name = value.get("name") if isinstance(value, Mapping) else None
    if not isinstance(name, str) or not name.strip():
        raise Refused(f"{value!r:.80} has no name.", NEXT_STEP)
    unable = value.get("unable") or ()
    if isinstance(unable, str) or not isinstance(unable, Sequence) or not all(isinstance(one, str) for one in unable):
        raise Refused(f"What {name} may not use is {unable!r:.80}, and no list of stations.", NEXT_STEP)
    week = read_hours(value["hours"]) if value.get("hours") else None
    return Person(name.strip(), tuple(unable), week, read_days_off(value.get("away")))


def workers_of(
    people: Sequence[Person], week: Week, closed: Sequence[DaysOff], zone: str, now: int
) -> tuple[Worker, ...]:
    """The people as the planning room wants them. week, closed: the shop's. zone: its name. now: server time in ms."""
    return tuple(
        Worker(
            person.name,
            person.unable,
            partial(stretches, person.week or week, zone_named(zone), now, closed=(*closed, *person.away)),
        )
        for person in people
    )
