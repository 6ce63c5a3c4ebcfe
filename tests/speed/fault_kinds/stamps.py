"""Entries whose stamps are far ahead: of a phone whose clock is wrong, or of one that lies."""

import time
from pathlib import Path

from histories.phone import Cut
from msgspec.structs import replace
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.trial import Trial, local, phone_of
from speed.fault_kinds.witness import Witness, uuid7

HOUR_MS = 3_600_000
IN_2100 = 4_102_444_800_000
"""2100-01-01 00:00 UTC in ms."""

LARGEST = 2**53 - 1
"""The greatest number that a page holds exactly, and the greatest stamp that the wire allows."""

FROM_AHEAD = {"kind": "noted", "text": "from far ahead"}

PAGES = (
    *(f"/builds/{{build}}/{name}" for name in ("log.json", "learned.json", "log.csv", "operations.csv", "log.pdf")),
    "/plan",
)
"""What is made of the log, and must be readable whatever stands in it."""


def ahead_by_hours(folder: Path) -> Outcome:
    """A phone whose clock is three hours ahead records before it has met the server.

    Other phones meet its stamps; their clocks ring at their true moments.
    """
    return poisoned(folder, int(1000 * time.time()) + 3 * HOUR_MS)


def of_2100(folder: Path) -> Outcome:
    """An entry stamped in 2100. Refused or kept apart, or kept where it does no harm."""
    return poisoned(folder, IN_2100)


def largest(folder: Path) -> Outcome:
    """An entry with the largest stamp there is, after which no next stamp exists."""
    return poisoned(folder, LARGEST)


def poisoned(folder: Path, ms: int) -> Outcome:
    """Another phone sends an entry with this stamp into the first phone's build.

    It may be refused, or wait outside the log until a person has it recorded again. The first phone goes on as before:
    its entries are taken, its clocks ring, and the log can be read in every form.
    """
    with local(folder) as trial:
        other = phone_of(trial.server, "b")
        other.build = trial.phone.build
        other.tell(FROM_AHEAD, ms)
        try:
            other.deliver(2)
        except Cut:
            other.waits.clear()  # refused: it stays with that phone, which was told so
        trial.phones.append(other)
        trial.tries += 1
        trial.phone.deliver()
        for _ in range(2):
            trial.phone.clamp()
            trial.phone.deliver()
        start_here(trial)
        read_all(trial)
        trial.recover()
        outcome = trial.judged()
        return replace(outcome, lost=outcome.lost + (not is_recorded_again(trial, other)))


def start_here(trial: Trial) -> None:
    """Let the server itself record something: a build that starts from a recipe."""
    wanted = {"id": uuid7(), "recipe": "hall-bench", "pieces": 1, "name": "After"}
    answer = trial.phone.client.post("/builds", json=wanted)
    trial.expect(answer.status_code == 200, f"POST /builds answers {answer.status_code}: {answer.text[:120]}")


def is_recorded_again(trial: Trial, other: Witness) -> bool:
    """Whether the words of an entry that waits for its time come into the log once a person has it recorded again."""
    if not other.early:
        return True
    trial.phone.client.post("/records/redate", json={})
    return any(entry["what"] == FROM_AHEAD for entry in trial.log())


def read_all(trial: Trial) -> None:
    """Everything that is made of the log can be asked for."""
    for page in PAGES:
        path = page.format(build=trial.phone.build)
        answer = trial.phone.client.get(path)
        trial.expect(answer.status_code == 200, f"GET {page} answers {answer.status_code}: {answer.text[:120]}")
