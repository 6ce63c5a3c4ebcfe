"""One byte overwritten on the disk while the server is off: in an entry, in an index, in a photo."""

import hashlib
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from speed.fault_kinds.disk import is_ok, picture
from speed.fault_kinds.judgement import Outcome
from speed.fault_kinds.trial import Trial, local, phone_of
from speed.fault_kinds.witness import Witness

DATABASE = "benchbell.db"
GLUED_S = 12.0
"""Clocks run over the damage, which takes a stop and a start."""

PLACES: tuple[tuple[str, Callable[[bytes], int]], ...] = (
    ("its first brace", lambda body: body.index(b"{")),
    ("its id", lambda body: body.index(b'"id": "') + 8),
    ("the name of its kind", lambda body: body.index(b'"noted"') + 2),
    ("its text", lambda body: body.index(b'"text": "') + 9),
    ("its time", lambda body: body.index(b'"ms": ') + 8),
)
"""Where in an entry the byte is, as the witness writes entries."""


def byte_in_entry(folder: Path) -> Outcome:
    """One byte of one note is another. It costs that note alone: all other entries come, and every clock rings."""

    def spoil(trial: Trial, other: Witness, n: int) -> None:
        id = trial.phone.note(f"damaged {n}")
        body = trial.phone.log[id]
        deliver_all(trial)
        trial.destroyed.add(id)
        trial.server.stop()
        overwrite(trial.server.data / DATABASE, body, PLACES[n][1](body))

    return spoiled(folder, len(PLACES), spoil)


def byte_in_clock(folder: Path) -> Outcome:
    """A digit in the time of an entry that starts a clock is another, so that it still can be read.

    Nothing rings early because of it: the entry is known to be damaged. Every other clock rings.
    """

    def spoil(trial: Trial, other: Witness, n: int) -> None:
        trial.unheard.add(trial.phone.clamp())
        id, body = list(trial.phone.log.items())[-1]
        deliver_all(trial)
        trial.destroyed.add(id)
        trial.server.stop()
        overwrite(trial.server.data / DATABASE, body, body.index(b'"ms": ') + 8 + n)

    outcome = spoiled(folder, 3, spoil)
    return outcome


def spoiled(folder: Path, tries: int, spoil: Callable[[Trial, Witness, int], None]) -> Outcome:
    """Two builds whose clocks run; each time something is spoiled while the server is off, and it starts again."""
    with local(folder, GLUED_S) as trial:
        other = phone_of(trial.server, "b")
        trial.phones.append(other)
        other.begin(GLUED_S)
        for n in range(tries):
            trial.phone.clamp()
            other.clamp()
            deliver_all(trial)
            spoil(trial, other, n)
            trial.tries += 1
            trial.expect(trial.server.start(), "the server does not start")
            if trial.server.process is None or trial.server.process.poll() is not None:
                break
            trial.recover()
        return trial.judged()


def deliver_all(trial: Trial) -> None:
    """All phones send what waits."""
    for phone in trial.phones:
        phone.deliver()


def overwrite(file: Path, around: bytes, at: int) -> None:
    """Change one byte of the file: the one at this place in `around`. Raises ValueError when that is not there once."""
    content = bytearray(file.read_bytes())
    if content.count(around) != 1:
        raise ValueError(f"{content.count(around)} times in {file.name}: {around[:60]!r}")
    place = content.index(around) + at
    content[place] ^= 0x01
    file.write_bytes(bytes(content))


def byte_in_index(folder: Path) -> Outcome:
    """One byte in the index that finds a build's entries is another, so that one of them is not found by it.

    The damage is noticed and mended from the entries themselves; every clock rings.
    """

    def spoil(trial: Trial, other: Witness, n: int) -> None:
        trial.server.stop()
        file = trial.server.data / DATABASE
        key = trial.phone.build.encode()
        content = bytearray(file.read_bytes())
        page, size = index_page(file)
        start = page * size
        place = content.index(key, start, start + size)
        content[place + len(key) - 1] ^= 0x01
        file.write_bytes(bytes(content))

    return spoiled(folder, 2, spoil)


def index_page(file: Path) -> tuple[int, int]:
    """The place of the index's root page, counted from 0, and the size of a page in bytes."""
    with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as db:
        query = "SELECT rootpage FROM sqlite_schema WHERE name = 'happening_of_build'"
        return db.execute(query).fetchone()[0] - 1, db.execute("PRAGMA page_size").fetchone()[0]


def byte_in_photo(folder: Path) -> Outcome:
    """One byte of a photo's file is another. It is not given out as if it were whole; sent again, it is mended."""
    body = picture()
    name = hashlib.sha256(body).hexdigest()
    with local(folder) as trial:
        for _ in range(2):
            trial.expect(is_ok(trial.phone.client.put(f"/photos/{name}", content=body)), "a photo is refused")
            file = next(trial.server.data.rglob(name))
            content = bytearray(file.read_bytes())
            content[len(content) // 2] ^= 0x01
            file.write_bytes(bytes(content))
            got = trial.phone.client.get(f"/photos/{name}")
            trial.expect(not is_ok(got) or got.content == body, "a damaged photo is given out as if it were whole")
            again = trial.phone.client.put(f"/photos/{name}", content=body)
            whole = is_ok(again) and trial.phone.client.get(f"/photos/{name}").content == body
            trial.expect(whole, "a photo that the phone sent again stays damaged")
            trial.tries += 1
            trial.recover()
        return trial.judged()
