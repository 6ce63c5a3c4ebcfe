"""The server's clock when the machine's is set, or the machine boots with a wrong one: nothing rings early."""

import json

import msgspec
import pytest
from alerts.push_service import push_service
from alerts.sample import BUILD, CLAMPED, GLUE_ON, OFF, STARTED
from alerts.watched_shop import HEARD, PHONE, PUSHED, at, clamped, rings_pushed, settled, subscribed
from benchbell.alerts.server_clock import setting_in_words
from benchbell.bench.happenings import SHOP, Happening, Stamp, When
from benchbell.durations import HOUR_MS, MINUTE_MS, SECOND_MS
from benchbell.store.errors import DiskFull
from benchbell.store.sqlite_records import SqliteRecords
from scene import NOON, Clock, for_one_machine, id7, send

BOTH = [("squeeze-out", "pare"), ("in-clamps", "off")]


def set_clock(client, by):
    """Set the machine's time of day; the server looks at it."""
    client.settings.clock.set(by)
    settled(client)


def passes(client, ms):
    """Let time pass, and the server look at it."""
    at(client, client.settings.clock.ms + ms)
    settled(client)


def happens(client, n, what, base=0, ms=None):
    """Something is recorded now, by a phone that knows the server's clock as it is."""
    ms = client.shop.server_clock() if ms is None else ms
    h = Happening(id7(n, PHONE), n, Stamp(ms, 0, PHONE), BUILD, (), what, When(ms, base))
    answer = send(client, PHONE, [msgspec.json.encode(h)])
    assert answer.status_code == 200, answer.text
    return answer.json()


def settings_of(client):
    """Every setting of the clock that the log tells of."""
    return [h.what for h in client.blocking_portal.call(client.shop.records.happenings_of, SHOP, ("clock-set",))]


def running(client, kind):
    """The running clock of a kind."""
    client.blocking_portal.call(client.shop.clock_tracker.refresh)
    clocks = client.shop.clock_tracker.builds.running(client.shop.server_clock())
    return next((one.clock for one in clocks if one.clock.kind == kind), None)


def test_a_server_that_was_behind_and_is_set_right_rings_nothing_early(tmp_path):
    with push_service() as service, for_one_machine(tmp_path, **PUSHED) as client:
        subscribed(client, service)
        clamped(client)
        set_clock(client, 2 * HOUR_MS)
        passes(client, 10 * SECOND_MS)
        early = rings_pushed(service)
        passes(client, HOUR_MS - 11 * SECOND_MS)
        one_second_before = rings_pushed(service)
        passes(client, SECOND_MS)
        service.wait_for(2)

        assert [] == early
        assert BOTH[:1] == one_second_before
        assert BOTH == rings_pushed(service)
        assert (
            "The server's clock was set while this ran"
            in json.loads(service.browser.read(service.took[1].body))["text"]
        )


def test_open_time_runs_on_when_the_server_is_set_back(tmp_path):
    with for_one_machine(tmp_path) as client:
        happens(client, 1, STARTED)
        happens(client, 2, GLUE_ON)
        passes(client, 4 * MINUTE_MS)
        set_clock(client, -3 * HOUR_MS)
        clock = running(client, "open")

        assert 6 * MINUTE_MS == clock.most - client.shop.server_clock()
        assert "set" == clock.server_clock


def test_an_entry_of_a_server_that_was_ahead_spoils_no_later_one(tmp_path):
    with for_one_machine(tmp_path) as client:
        set_clock(client, 3 * HOUR_MS)
        happens(client, 1, STARTED, base=1)
        happens(client, 2, GLUE_ON, base=1)
        set_clock(client, -3 * HOUR_MS)
        passes(client, MINUTE_MS)
        ahead = Happening(
            id7(3, PHONE), 3, Stamp(NOON + 3 * HOUR_MS, 7, PHONE), BUILD, (), CLAMPED, When(client.settings.clock(), 2)
        )
        send(client, PHONE, [msgspec.json.encode(ahead)])

        assert running(client, "open") is None
        assert HOUR_MS == running(client, "in-clamps").least - client.settings.clock()


def test_an_answer_never_goes_by_a_setting_that_it_does_not_tell_of(tmp_path):
    with for_one_machine(tmp_path) as client:
        before = happens(client, 1, STARTED)
        client.settings.clock.set(2 * HOUR_MS)
        not_seen_yet = happens(client, 2, GLUE_ON)
        settled(client)
        after = happens(client, 3, CLAMPED)

    assert (0, NOON) == (before["base"], before["server_time"])
    assert (0, NOON) == (not_seen_yet["base"], not_seen_yet["server_time"])
    assert (1, NOON + 2 * HOUR_MS) == (after["base"], after["server_time"])


def test_an_answer_goes_by_one_setting_though_the_clock_is_set_while_it_is_made(tmp_path, monkeypatch):
    exchange = SqliteRecords.exchange
    with for_one_machine(tmp_path) as client:
        happens(client, 1, STARTED)

        async def set_meanwhile(*given):
            done = await exchange(*given)
            client.settings.clock.set(2 * HOUR_MS)
            await client.shop.server_clock.check()
            return done

        monkeypatch.setattr(SqliteRecords, "exchange", set_meanwhile)
        answer = happens(client, 2, GLUE_ON)

    assert (0, NOON) == (answer["base"], answer["server_time"])


def test_a_restart_within_the_boot_sees_that_the_clock_was_set_meanwhile(tmp_path):
    with for_one_machine(tmp_path) as client:
        clamped(client)
        clock = client.settings.clock
    clock.set(2 * HOUR_MS)
    clock.ms += 10 * SECOND_MS
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        found = running(client, "in-clamps")

        assert HOUR_MS - 10 * SECOND_MS == found.least - client.settings.clock()
        assert [2 * HOUR_MS] == [what.by_ms for what in settings_of(client)]


def test_small_settings_add_up_and_are_seen_in_the_end(tmp_path):
    with for_one_machine(tmp_path) as client:
        set_clock(client, SECOND_MS)
        first = settings_of(client)
        set_clock(client, SECOND_MS)

        assert [] == first
        assert [2 * SECOND_MS] == [what.by_ms for what in settings_of(client)]


@pytest.mark.parametrize("behind", [2 * HOUR_MS, 2 * MINUTE_MS])
def test_a_machine_that_boots_with_a_clock_behind_counts_what_ran_without_the_time_it_was_off(tmp_path, behind):
    with for_one_machine(tmp_path) as client:
        clamped(client)
        passes(client, 10 * MINUTE_MS)
        clock = client.settings.clock
    clock.reboot(-behind)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        found = running(client, "in-clamps")

        assert "unsure" == found.server_clock
        assert 50 * MINUTE_MS == found.least - client.settings.clock()


def test_a_deadline_that_may_have_passed_while_the_machine_was_off_is_late(tmp_path):
    with for_one_machine(tmp_path) as client:
        happens(client, 1, STARTED)
        happens(client, 2, GLUE_ON)
        passes(client, MINUTE_MS)
        clock = client.settings.clock
    clock.reboot(-HOUR_MS)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)

        assert "late" == running(client, "open").phase


def test_a_boot_with_a_clock_that_went_on_is_taken_at_its_word(tmp_path):
    with for_one_machine(tmp_path) as client:
        clamped(client)
        settled(client)
        clock = client.settings.clock
    clock.reboot(20 * MINUTE_MS)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)

        assert 40 * MINUTE_MS == running(client, "in-clamps").least - client.settings.clock()
        assert [] == settings_of(client)


def booted_with_a_clock_behind(folder):
    """The machine's clock, vouched for as the clamps went on; after a night of no power the network has not set it."""
    with for_one_machine(folder) as client:
        client.settings.clock.trusted = True
        clamped(client)
        settled(client)
        clock = client.settings.clock
    clock.trusted = False
    clock.reboot(-HOUR_MS)
    return clock


def test_where_the_system_vouches_for_both_boots_nothing_is_left_in_doubt(tmp_path):
    clock = booted_with_a_clock_behind(tmp_path)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        happens(client, 3, OFF, base=2)
        in_doubt = client.shop.clock_tracker.builds.books[BUILD].clock_settings[-1].what.earlier_ms
        clock.trusted = True
        set_clock(client, HOUR_MS + 30 * MINUTE_MS)
        found = running(client, "rest")

        assert -HOUR_MS == in_doubt
        assert "set" == found.server_clock
        assert NOON + 24 * HOUR_MS == found.least


def test_a_clock_that_is_vouched_for_without_being_set_ends_the_doubt_too(tmp_path):
    clock = booted_with_a_clock_behind(tmp_path)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        clock.trusted = True
        settled(client)

        assert "set" == running(client, "in-clamps").server_clock


def test_the_first_start_after_an_update_compares_with_what_the_server_recorded_last(tmp_path):
    recipe = {"id": BUILD, "recipe": "hall-bench", "pieces": 1, "name": "For the hall"}
    with for_one_machine(tmp_path) as client:
        assert client.post("/builds", json=recipe).is_success
        client.blocking_portal.call(
            client.shop.records.database.write, lambda db: db.execute("DELETE FROM clock_reading").rowcount
        )
        clock = client.settings.clock
    clock.reboot(-HOUR_MS)
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        (found,) = settings_of(client)

        assert (-HOUR_MS, -HOUR_MS) == (found.by_ms, found.earlier_ms)


def test_a_full_disk_lets_the_clock_go_on_as_it_was_and_it_rings(tmp_path, monkeypatch):
    async def full(*_):
        raise DiskFull("The disk is full.", "Make room.")

    with push_service() as service, for_one_machine(tmp_path, **PUSHED) as client:
        subscribed(client, service)
        clamped(client)
        monkeypatch.setattr(SqliteRecords, "keep_clock_reading", full)
        set_clock(client, 2 * HOUR_MS)
        passes(client, 20 * MINUTE_MS)
        service.wait_for(1)
        on_time = rings_pushed(service)
        monkeypatch.undo()
        settled(client)

        assert BOTH[:1] == on_time == rings_pushed(service)
        assert [2 * HOUR_MS] == [what.by_ms for what in settings_of(client)]


def test_a_ring_that_was_heard_stays_heard_when_the_clock_is_set(tmp_path):
    with push_service() as service, for_one_machine(tmp_path, **PUSHED) as client:
        subscribed(client, service)
        clamped(client)
        passes(client, HOUR_MS)
        service.wait_for(2)
        happens(client, 3, HEARD)
        for by in (2 * HOUR_MS, -3 * HOUR_MS, HOUR_MS):
            set_clock(client, by)

        assert BOTH == rings_pushed(service)


def test_a_setting_that_phones_brought_back_after_a_restore_is_not_numbered_again(tmp_path):
    lost = {"kind": "clock-set", "base": 3, "since": 0, "by_ms": HOUR_MS}
    told_back = {"id": id7(1), "n": 1, "at": {"ms": NOON, "counter": 0, "device": "0" * 16}, "build": "", "about": []}
    with for_one_machine(tmp_path) as client:
        send(client, PHONE, [json.dumps({**told_back, "what": lost, "when": {"ms": NOON, "base": 3}}).encode()])
        settled(client)
        settled(client)
        set_clock(client, HOUR_MS)

        assert [3, 4] == [what.base for what in settings_of(client)]


def test_a_trial_clock_is_a_machines_clock():
    clock = Clock()
    clock.set(5)

    assert (NOON + 5, 0) == (clock(), clock.uptime())


def test_a_clock_before_1970_stops_neither_the_start_nor_the_alarms(tmp_path):
    clock = Clock()
    clock.ms = -4 * 365 * 24 * HOUR_MS
    with for_one_machine(tmp_path, clock=clock) as client:
        settled(client)
        assert client.shop.server_clock() >= 0
        assert settings_of(client) == []


def test_the_log_says_a_setting_in_words():
    assert "set back by 2 d" in setting_in_words(-48 * HOUR_MS, True)
    assert "forward by 1 h; for how long" in setting_in_words(HOUR_MS, False)
