"""One try of a fault: a server, a phone that watches it, and what is judged at the end."""

import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from histories.phone import Cut
from msgspec import Struct
from speed.fault_kinds.judgement import (
    Outcome,
    doubled_entries,
    doubled_rings,
    early_rings,
    lost_entries,
    missed_rings,
)
from speed.fault_kinds.server import PROGRAM, Server, run, uptime_s
from speed.fault_kinds.witness import Witness

RING_S = 25
"""A ring that is later than this is missed: the server looks at its clocks every 10 s at least."""

SETTLE_S = 1.5
"""After a start, a ring that comes twice would come within this time."""


class Kind(Struct, frozen=True):
    """A kind of fault: its name, and what injects it, given an empty folder."""

    name: str
    inject: Callable[[Path], Outcome]


class Trial:
    """A server that runs, and phones. broken: sentences on what else was not kept. reader: reads the log at the end.

    recover_s: how long each recovery took. destroyed: ids of entries that the fault itself destroyed. unheard: names of
    rings of which nobody can know whether they must come. missed: names of rings that did not come while they had to.
    """

    def __init__(self, server: Server, phone: Witness, reader: Callable[[], Witness]) -> None:
        self.server = server
        self.phones = [phone]
        self.reader = reader
        self.tries = 0
        self.broken: list[str] = []
        self.recover_s: list[float] = []
        self.destroyed: set[str] = set()
        self.unheard: set[str] = set()
        self.missed: set[str] = set()

    @property
    def phone(self) -> Witness:
        """The first phone."""
        return self.phones[0]

    def expect(self, kept: bool, sentence: str) -> None:
        """Note a promise that was not kept."""
        if not kept:
            self.broken.append(sentence)

    def recover(self, seconds: float = 30) -> None:
        """The fault is over: measure until the first phone's next glue-up is taken."""
        began = time.monotonic()
        self.phone.clamp()
        try:
            self.phone.deliver(seconds)
        except Cut as error:
            self.broken.append(f"the server took nothing for {seconds:.0f} s after the fault ({error})")
        self.recover_s.append(time.monotonic() - began)

    def wait_for_rings(self) -> None:
        """Until every ring that is due has come, or is so late that it counts as missed."""
        due = self.all_due()
        until = max([uptime_s(), *(one.at_s for one in due.values())]) + RING_S
        while uptime_s() < until and missed_rings(due, self.server.rung()):
            time.sleep(0.05)

    def ring_now(self) -> None:
        """Every ring that is due must come now, while the fault lasts: one that comes only later is missed."""
        self.wait_for_rings()
        self.missed |= set(missed_rings(self.all_due(), self.server.rung()))

    def all_due(self) -> dict[str, Any]:
        """Every ring that must come, of all phones."""
        return {name: one for phone in self.phones for name, one in phone.due.items() if name not in self.unheard}

    def judged(self) -> Outcome:
        """Wait for the rings, restart the server, and compare what it has with what it acknowledged."""
        self.wait_for_rings()
        self.server.kill()
        self.expect(self.server.start(), "the server did not start again")
        time.sleep(SETTLE_S)
        log, due, rung = self.log(), self.all_due(), self.server.rung()
        rung = [one for one in rung if one.name not in self.unheard]
        waiting = {id for phone in self.phones for id in phone.early}
        acknowledged = [one for phone in self.phones for one in phone.acknowledged.items()]
        sent = {id: what for id, what in acknowledged if id not in waiting}
        return Outcome(
            tries=self.tries,
            lost=len([id for id in lost_entries(sent, log) if id not in self.destroyed]),
            early=len(early_rings(due, rung)),
            missed=len(self.missed.union(missed_rings(due, rung))),
            doubled=doubled_entries(log) + doubled_rings(rung),
            recover_s=max(self.recover_s, default=None),
            broken=tuple(self.broken),
        )

    def log(self) -> list[dict[str, Any]]:
        """The log as a phone reads it that never was here before."""
        phone = self.reader()
        try:
            phone.deliver(10)
        except Cut as error:
            self.broken.append(f"a new phone cannot read the log ({error})")
        return [json.loads(body) for body in phone.came]


def phone_of(server: Server, letter: str) -> Witness:
    """A phone of `serve --local`, whose name is that hex digit sixteen times."""
    return Witness(server.url, letter * 16)


def paired(server: Server, name: str) -> Witness:
    """A phone paired with the server, by the command line."""
    made = json.loads(run("pair", "--token", name, "--json", "--data", server.data).stdout)
    return Witness(server.url, made["device"]["id"], {"Authorization": f"Bearer {made['token']}"})


@contextmanager
def local(folder: Path, seconds: float = 3.0, program: tuple[str, ...] = PROGRAM) -> Iterator[Trial]:
    """A server for this machine alone, and a phone with a build whose clocks run so many seconds."""
    with running(Server(folder, "--local", program=program), phone_of, seconds) as trial:
        yield trial


@contextmanager
def for_paired(folder: Path, seconds: float = 3.0) -> Iterator[Trial]:
    """A server that wants devices paired, over plain http as behind a proxy, and such a phone with a build."""
    with running(Server(folder, "--proxied"), paired, seconds) as trial:
        yield trial


@contextmanager
def running(server: Server, phone: Callable[[Server, str], Witness], seconds: float) -> Iterator[Trial]:
    """The server while the block runs. phone: gives a phone by its name, a hex digit."""
    if not server.start():
        raise RuntimeError(server.out.read_text(encoding="utf-8"))
    try:
        trial = Trial(server, phone(server, "a"), lambda: phone(server, "f"))
        trial.phone.begin(seconds)
        yield trial
    finally:
        server.kill()
