"""Who is to be told of what is due: each device once, and again later where the push service could not take it.

A ring counts as told once the push service took it. A restart in between tells it again, under the same topic and
tag, so that the device shows it once: nothing is missed, and nothing doubled where it is seen.
"""

from collections.abc import Container, Iterable

from benchbell.alerts.schedule import Alarm
from benchbell.alerts.webpush import Outcome
from benchbell.durations import HOUR_MS, MINUTE_MS, SECOND_MS

LONGEST_TRY_MS = MINUTE_MS
"""Open time is minutes: a device is never given up for longer because of a network that failed."""

REFUSED_MS = 10 * MINUTE_MS
"""A push service that says no will say so again, until a person has changed something."""

LONGEST_ASKED_MS = HOUR_MS
"""Longer waits that a push service may ask for are cut to this."""


def untold(due: Iterable[Alarm], told: Container[tuple[str, str, str]], since_ms: int) -> list[Alarm]:
    """What a device is to be told. since_ms: it subscribed then, in somebody's hand; what rang before was shown."""
    return [alarm for alarm in due if alarm.key not in told and alarm.at >= since_ms]


def pause_ms(outcome: Outcome, tries: int, asked_s: int | None) -> int:
    """How long to leave a device's push service alone. tries: in a row, from 1. asked_s: its Retry-After, or None."""
    if outcome == "refused":
        return REFUSED_MS
    if asked_s is not None:
        return min(LONGEST_ASKED_MS, max(SECOND_MS, asked_s * SECOND_MS))
    return min(LONGEST_TRY_MS, SECOND_MS << min(tries, 6))
