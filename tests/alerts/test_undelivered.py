"""Who is told, once, and when to try again."""

import pytest
from alerts.sample import BUILD, CLAMPED, book
from benchbell.alerts.schedule import alarms_of, due, running_of
from benchbell.alerts.undelivered import pause_ms, undelivered
from scene import NOON

LATER = NOON + 3_600_000
RINGING = due(
    [a for clock in running_of(BUILD, book((NOON, CLAMPED)), (), LATER) for a in alarms_of(clock, None, LATER)], LATER
)


def test_a_device_is_told_what_it_was_not_told_before():
    pare, off = RINGING

    assert [alarm.stage for alarm in RINGING] == ["pare", "off"]
    assert [off] == undelivered(RINGING, {pare.key}, NOON)
    assert undelivered(RINGING, {pare.key, off.key}, NOON) == []


def test_what_rang_before_a_device_subscribed_is_not_sent_after_it():
    assert [alarm.stage for alarm in undelivered(RINGING, set(), LATER)] == ["off"]
    assert undelivered(RINGING, set(), LATER + 1) == []


@pytest.mark.parametrize(
    ("outcome", "tries", "retry_after_s", "expected"),
    [
        ("later", 1, None, 2_000),
        ("later", 3, None, 8_000),
        ("later", 99, None, 60_000),
        ("later", 1, 120, 120_000),
        ("later", 1, 0, 1_000),
        ("later", 1, 10**9, 3_600_000),
        ("rejected", 1, None, 600_000),
    ],
)
def test_how_long_a_push_service_is_left_alone(outcome, tries, retry_after_s, expected):
    # RFC 6585, section 4: a 429 may carry Retry-After. The growing pauses are our own choice.
    assert expected == pause_ms(outcome, tries, retry_after_s)
