"""The program as its user starts it, on a machine whose clock is set: heard by its bell, seen by a phone."""

import json
import time
from contextlib import contextmanager
from urllib.parse import urlsplit

import httpx
import msgspec
from alerts.bell_script import writer, written
from alerts.sample import BUILD, CLAMPED, GLUE_ON, STARTED
from benchbell.bench.book import Book
from benchbell.bench.clocks import clocks
from benchbell.bench.happenings import When
from benchbell.bench.server_clock import settings_of
from benchbell.bench.state import bench_of
from benchbell.durations import HOUR_MS, MINUTE_MS, SECOND_MS
from benchbell.store.envelopes import readable
from ports import free_port
from scene import encoded
from trial_clock import TrialClock
from web.running import serving

PHONE, MARGIN_MS = "ab" * 8, 5 * SECOND_MS


class Bench:
    """A phone of its own, in plain Python, and the server's bell; the server really runs."""

    def __init__(self, folder, url):
        self.url, self.folder = url, folder
        self.known, self.n, self.stamp = {}, 0, 0
        self.sync()

    def sync(self, *sent):
        """One round trip; what comes is kept."""
        body = b'{"page":2,"after":0,"happenings":[%s]}' % b",".join(sent)
        answer = httpx.post(f"{self.url}/sync", content=body, headers={"Device": PHONE}, timeout=20).json()
        for h in [*map(msgspec.json.decode, sent), *answer["happenings"]]:
            self.known[h["id"]] = readable(json.dumps(h).encode())
        self.answer = answer
        return answer

    def records(self, what):
        """Tap a button: stamped as the page does it."""
        self.n += 1
        now = self.sync()
        self.stamp = max(self.stamp + 1, now["server_time"])
        when = When(now["server_time"], now["base"])
        self.sync(encoded(self.n, self.stamp, what, BUILD, PHONE, when))

    def learns(self, base):
        """Wait until the server has found that its clock was set, and told so."""
        until = time.monotonic() + 30
        while self.sync()["base"] < base:
            assert time.monotonic() < until, "the server did not see that its clock was set"
            time.sleep(0.1)

    def clock(self, kind):
        """A running clock as this phone has it, and how long until it is due, ms."""
        book = Book(h for h in self.known.values() if h.build == BUILD)
        book.know_settings(settings_of(h for h in self.known.values()))
        now = self.sync()["server_time"]
        (found,) = (one for one in clocks(STARTED.sheet, bench_of(book), (), now) if one.kind == kind)
        return found, (found.most if found.least is None else found.least) - now

    def rung(self):
        """What the bell rang: (kind, late by seconds)."""
        rings = [variables for _, variables in written(self.folder / "rung")]
        return [(one["BENCHBELL_RING"], int(one["BENCHBELL_LATE_SECONDS"])) for one in rings]


@contextmanager
def at_the_bench(folder, trial, monkeypatch):
    """A bench at a running server, with its bell and its clock."""
    for name, value in trial.environment.items():
        monkeypatch.setenv(name, value)
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    bell = " ".join(f"'{word}'" for word in writer(folder / "rung"))
    with serving(folder, "--local", "--port", port, "--bell", bell, url=url):
        yield Bench(folder, url)


def wait_until(done):
    until = time.monotonic() + 30
    while not done():
        assert time.monotonic() < until
        time.sleep(0.05)


def test_a_server_two_hours_behind_is_set_right_and_its_bell_waits(tmp_path, monkeypatch):
    trial = TrialClock(tmp_path)
    trial.set(-2 * HOUR_MS)
    with at_the_bench(tmp_path, trial, monkeypatch) as bench:
        bench.records(STARTED)
        bench.records(CLAMPED)
        trial.set(2 * HOUR_MS)
        bench.learns(1)
        trial.passes(10 * SECOND_MS)
        _, ten_seconds_later = bench.clock("in-clamps")
        trial.passes(20 * MINUTE_MS)
        wait_until(bench.rung)
        trial.passes(40 * MINUTE_MS)
        wait_until(lambda: len(bench.rung()) == 2)

    assert HOUR_MS - 10 * SECOND_MS - MARGIN_MS < ten_seconds_later <= HOUR_MS - 10 * SECOND_MS
    assert ["pare", "off"] == [ring for ring, _ in bench.rung()]
    assert all(0 <= late < 60 for _, late in bench.rung())


def test_open_time_runs_on_when_the_server_is_set_back_three_hours(tmp_path, monkeypatch):
    trial = TrialClock(tmp_path)
    with at_the_bench(tmp_path, trial, monkeypatch) as bench:
        bench.records(STARTED)
        bench.records(GLUE_ON)
        trial.passes(4 * MINUTE_MS)
        trial.set(-3 * HOUR_MS)
        bench.learns(1)
        clock, left = bench.clock("open")
        time_of_day = trial.now()

    assert 6 * MINUTE_MS - MARGIN_MS < left <= 6 * MINUTE_MS
    assert "set" == clock.server_clock
    assert abs(clock.started + 4 * MINUTE_MS - time_of_day) < MARGIN_MS


def test_after_an_entry_three_hours_ahead_later_taps_are_timed_right(tmp_path, monkeypatch):
    trial = TrialClock(tmp_path)
    trial.set(3 * HOUR_MS)
    with at_the_bench(tmp_path, trial, monkeypatch) as bench:
        bench.records(STARTED)
        trial.set(-3 * HOUR_MS)
        bench.learns(1)
        bench.records(GLUE_ON)
        _, open_left = bench.clock("open")
        bench.records(CLAMPED)
        clock, clamped_left = bench.clock("in-clamps")
        time_of_day = trial.now()

    assert 10 * MINUTE_MS - MARGIN_MS < open_left <= 10 * MINUTE_MS
    assert HOUR_MS - MARGIN_MS < clamped_left <= HOUR_MS
    assert abs(clock.started - time_of_day) < MARGIN_MS
    assert "steady" == clock.server_clock


def test_a_server_that_boots_with_a_wrong_clock_rings_by_what_it_counted(tmp_path, monkeypatch):
    trial = TrialClock(tmp_path)
    with at_the_bench(tmp_path, trial, monkeypatch) as bench:
        bench.records(STARTED)
        bench.records(CLAMPED)
    trial.boots("another", by=-3 * HOUR_MS)
    with serving(tmp_path, "--local", "--port", urlsplit(bench.url).port, url=bench.url):
        bench.learns(2)
        clock, left = bench.clock("in-clamps")

    assert "unsure" == clock.server_clock
    assert HOUR_MS - 60 * SECOND_MS < left <= HOUR_MS
