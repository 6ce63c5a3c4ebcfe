"""The clocks of a server that really runs, moved from outside: see Trial in benchbell/machine_clock.py."""

import time
from pathlib import Path

import msgspec
from benchbell.machine_clock import TRIAL_CLOCK, TrialState
from msgspec.structs import replace


class TrialClock:
    """environment: what the server is to be started with, so that it goes by this clock."""

    def __init__(self, folder: Path):
        folder.mkdir(parents=True, exist_ok=True)
        self.file = folder / "trial-clock.json"
        self.state = TrialState()
        self.environment = {TRIAL_CLOCK: str(self.file)}

    def change(self, **changed):
        """Replace the file in one go."""
        self.state = replace(self.state, **changed)
        beside = self.file.with_suffix(".new")
        beside.write_bytes(msgspec.json.encode(self.state))
        beside.replace(self.file)

    def set(self, by):
        """Somebody sets the machine's time of day forward by so many ms, below zero back."""
        self.change(set_ms=self.state.set_ms + by)

    def passes(self, ms):
        """So much time passes."""
        self.change(passed_ms=self.state.passed_ms + ms)

    def boots(self, name, by=0):
        """The machine boots while no server runs, its time of day set by so much."""
        self.change(boot=name, set_ms=self.state.set_ms + by)

    def now(self):
        """The machine's time of day, ms."""
        return time.time_ns() // 1_000_000 + self.state.passed_ms + self.state.set_ms
