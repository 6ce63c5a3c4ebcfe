"""How often anybody may ask."""

import pytest
from benchbell.web.errors import TooMany
from benchbell.web.limits import MOST_REMEMBERED, CodeThrottle, RateLimits
from scene import for_a_shop, pair


def asked(limits, name, now_ms):
    """Whether the request is let through."""
    try:
        limits.ask(name, now_ms)
    except TooMany:
        return False
    return True


def test_a_burst_is_let_through_and_then_so_many_a_second():
    limits = RateLimits(burst=3, each_second=2)
    at_once = [asked(limits, "a", 0) for _ in range(5)]
    later = [asked(limits, "a", 1000) for _ in range(3)]

    assert [True, True, True, False, False] == at_once
    assert [True, True, False] == later


def test_one_does_not_pay_for_another():
    limits = RateLimits(burst=1, each_second=1)

    assert [True, False, True] == [asked(limits, name, 0) for name in ("a", "a", "b")]


def test_a_clock_set_back_gives_nothing_away():
    limits = RateLimits(burst=1, each_second=1)

    assert [True, False, False] == [asked(limits, "a", ms) for ms in (5000, 1000, 1500)]


def test_memory_is_bounded():
    limits, code_throttle = RateLimits(1, 1), CodeThrottle()
    for number in range(3 * MOST_REMEMBERED):
        limits.ask(str(number), 0)
        code_throttle.ask(str(number), 0)

    assert MOST_REMEMBERED == len(limits.buckets) == len(code_throttle.tries)


def test_a_thousand_tries_at_once_are_a_thousand_tries():
    code_throttle = CodeThrottle()

    assert [1, *range(2, 1001)] == [code_throttle.ask(str(number), 0) for number in range(1000)]


def test_strangers_are_slowed_down_and_a_paired_phone_is_not_for_it(tmp_path):
    with for_a_shop(tmp_path) as client:
        pair(client)
        cookies = dict(client.cookies)
        client.cookies.clear()
        strange = [client.get("/recipes").status_code for _ in range(40)]
        client.cookies.update(cookies)
        known = [client.get("/device").status_code for _ in range(40)]

    assert [401] * 30 + [429] * 10 == strange
    assert [200] * 40 == known


def test_waiting_is_told_in_seconds():
    code_throttle = CodeThrottle()
    code_throttle.ask("a", 0)

    with pytest.raises(TooMany, match=r"Too many wrong codes. Wait 1 s, then try again.") as refused:
        code_throttle.ask("a", 500)
    assert 1 == refused.value.seconds
