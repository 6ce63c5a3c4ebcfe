"""Which due rings a device still lacks, and how long to wait before the next try."""

from collections.abc import Container, Iterable

from benchbell.alerts.schedule import Alarm
from benchbell.alerts.webpush import Outcome
from benchbell.durations import HOUR_MS, MINUTE_MS, SECOND_MS

LONGEST_BACKOFF_MS = MINUTE_MS
"""Longest wait after a network failure. A glue's open time is minutes, so a longer wait would miss it."""

REJECTED_MS = 10 * MINUTE_MS
"""Wait after a refusal: the service will refuse again until a person has changed something."""

LONGEST_RETRY_AFTER_MS = HOUR_MS
"""A longer wait that the push service asks for is cut to this."""


def undelivered(due: Iterable[Alarm], delivered: Container[tuple[str, str, str]], since_ms: int) -> list[Alarm]:
    """The due rings that a device lacks. delivered: keys of those it got.

    since_ms: when it subscribed. Somebody held it then and saw on the page what rang before.
    """
    return [alarm for alarm in due if alarm.key not in delivered and alarm.at >= since_ms]


def pause_ms(outcome: Outcome, tries: int, retry_after_s: int | None) -> int:
    """Wait before the next push to a device, in ms.

    outcome: "later" or "rejected". tries: failures in a row, from 1. retry_after_s: the service's wish, or None.
    """
    if outcome == "rejected":
        return REJECTED_MS
    if retry_after_s is not None:
        return min(LONGEST_RETRY_AFTER_MS, max(SECOND_MS, retry_after_s * SECOND_MS))
    return min(LONGEST_BACKOFF_MS, SECOND_MS << min(tries, 6))
