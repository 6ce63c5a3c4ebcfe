"""What the records give and take: the types that `store/records.py` names. Moments are ms since 1970 UTC."""

from collections.abc import Callable, Sequence

from msgspec import Raw, Struct

from benchbell.bench.encoding import Envelope
from benchbell.bench.happenings import What, When

RandomBytes = Callable[[int], bytes]
"""So many random bytes; `os.urandom` in the program."""

Body = bytes | Raw
"""A happening's JSON exactly as its device sent it; Raw where it is still a piece of the request."""

Sent = Sequence[tuple[Envelope, Body]]
"""Happenings as sent, each with its envelope decoded."""

RingKey = tuple[str, str, str]
"""Which ring of which clock: build, operation, the ring's name."""


class DamagedEntry(Struct, frozen=True):
    """An entry whose bytes are not those that were stored. id, build, kind: as its other columns have them."""

    position: int
    id: str
    build: str
    kind: str


class LogSlice(Struct, frozen=True):
    """Consecutive happenings of the log.

    listed: their bodies, unchanged, as one JSON list. position: of the last one that was looked at; the next slice
    begins after it. newest: the last position in the log. damaged: those that were left out because of that.
    """

    listed: Raw
    position: int
    newest: int
    damaged: tuple[DamagedEntry, ...] = ()


class Exchange(Struct, frozen=True):
    """One round trip of a device.

    taken_to: the device's last number that is on disk. lacked: what the device did not have. early: ids of what it
    sent that waits, because its stamps are ahead of the server's time. lost_its_end: the log lacks what it had told
    this device, in the same epoch.
    """

    taken_to: int
    lacked: LogSlice
    log_epoch: str
    early: tuple[str, ...] = ()
    lost_its_end: bool = False


class ScrubbedEntries(Struct, frozen=True):
    """Entries of the log whose bytes were checked. position: of the last; 0 when the log has no more.

    damaged: those that are not as stored. repaired: rows whose other columns were put right from their bytes.
    ahead: ids of those stamped later than the limit, each with its build. redated: ids of those recorded again.
    unreadable: the build of each intact one that is not of its kind's form, so that nothing counts it.
    """

    position: int
    checked: int
    damaged: tuple[DamagedEntry, ...] = ()
    repaired: int = 0
    ahead: tuple[tuple[str, str], ...] = ()
    redated: tuple[str, ...] = ()
    unreadable: tuple[str, ...] = ()


class Entry(Struct, frozen=True):
    """Something that the server itself records. when: it happened. about: ids of what it concerns."""

    id: str
    when: When
    build: str
    about: tuple[str, ...]
    what: What


class ClockReading(Struct, frozen=True):
    """The server's clock as it was last read.

    boot: names the run of the machine, or of the program where the machine tells none. offset_ms: the clock less the
    machine's uptime. base: the number of its setting; since: the first of this boot. wall_ms: what it showed.
    is_trusted: whether the system vouched for it; was_trusted: whether it did when the boot before was last seen.
    is_doubtful: it is not known by how much times of earlier boots are to be moved.
    """

    boot: str
    offset_ms: int
    base: int
    since: int
    wall_ms: int
    is_trusted: bool = False
    was_trusted: bool = False
    is_doubtful: bool = False


class Device(Struct, frozen=True):
    """A paired device. revoked_ms: None while it may use the server."""

    id: str
    name: str
    paired_ms: int
    seen_ms: int
    revoked_ms: int | None


class Paired(Struct, frozen=True):
    """A device just paired, and its token, which is kept nowhere else."""

    device: Device
    token: str


class Subscription(Struct, frozen=True):
    """Where and how to push to a device.

    p256dh: its public key, 65 bytes. auth: its secret, 16 bytes. since_ms: rings due before this are not pushed.
    good_ms: when the push service last accepted a push, None for never. trouble: why it refused the last one, ""
    when it did not.
    """

    device: str
    endpoint: str
    p256dh: bytes
    auth: bytes
    since_ms: int
    good_ms: int | None = None
    trouble: str = ""


class Feed(Struct, frozen=True):
    """A device's calendar feed. fetched_ms: when a calendar last asked for it, None for never."""

    device: str
    since_ms: int
    fetched_ms: int | None
