"""How often anybody may ask."""

import pytest
from benchbell.web.errors import TooMany
from benchbell.web.limits import MOST_REMEMBERED, MOST_WRONG, MOST_WRONG_OF_ONE, CodeGuesses, RateLimits
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
    limits = RateLimits(1, 1)
    for number in range(3 * MOST_REMEMBERED):
        limits.ask(str(number), 0)

    assert MOST_REMEMBERED == len(limits.buckets)


def guessed(guesses, times, open_codes, address):
    """How many of so many wrong codes are judged before the address is refused."""
    for n in range(times):
        try:
            guesses.judge("wrong", open_codes, address)
        except TooMany:
            return n
    return times


def test_an_address_uses_up_a_code_for_itself_and_not_for_others():
    guesses = CodeGuesses()
    judged = guessed(guesses, 2 * MOST_WRONG_OF_ONE, ["code"], "a")

    assert MOST_WRONG_OF_ONE == judged
    with pytest.raises(TooMany, match=r"Too many wrong codes were tried. Show a new code"):
        guesses.judge("code", ["code"], "a")
    assert guesses.judge("code", ["code"], "b")


def test_many_addresses_together_use_up_a_code():
    guesses = CodeGuesses()
    judged = [guessed(guesses, 6000, ["code"], address) for address in "abcde"]

    assert [6000, 6000, 6000, 2000, 0] == judged
    assert MOST_WRONG == sum(judged)
    with pytest.raises(TooMany):
        guesses.judge("code", ["code"], "nobody yet")


def test_a_fresh_code_starts_fresh_beside_one_that_is_used_up():
    guesses = CodeGuesses()
    guessed(guesses, MOST_WRONG_OF_ONE, ["old"], "a")

    assert guesses.judge("fresh", ["old", "fresh"], "a")
    assert not guesses.judge("old", ["old", "fresh"], "a")


def test_guesses_are_forgotten_with_their_code():
    guesses = CodeGuesses()
    guessed(guesses, 10, ["old"], "a")
    guesses.judge("x", ["new"], "a")

    assert {"new": {"a": 1}} == guesses.wrong


def test_without_an_open_code_nothing_is_counted():
    guesses = CodeGuesses()

    assert not any(guesses.judge("x", [], "a") for _ in range(3))
    assert (0, {}) == (guesses.wrong_from("a"), guesses.wrong)


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
