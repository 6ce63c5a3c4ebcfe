"""What a fault cost, judged from what the phones were told, what the log has, and when the bell rang.

Moments are seconds of the machine's uptime, which nobody sets.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct


class Due(Struct, frozen=True):
    """A ring that must come. at_s: its true moment. unsure_s: by how much the phone's idea of it may be wrong."""

    at_s: float
    unsure_s: float = 0.0


class Rung(Struct, frozen=True):
    """A ring that came. name: of the operation whose clock it was."""

    name: str
    at_s: float


class Outcome(Struct, frozen=True):
    """What became of one kind of fault.

    tries: how often it was injected. lost: acknowledged entries that are not in the log, or not as they were sent.
    early, missed: rings. doubled: rings that came again on one device, and entries that stand in the log twice.
    recover_s: the longest time from the end of a fault until the server took an entry again; None where no fault ended.
    broken: further promises that were not kept, a sentence each.
    """

    tries: int
    lost: int = 0
    early: int = 0
    missed: int = 0
    doubled: int = 0
    recover_s: float | None = None
    broken: tuple[str, ...] = ()

    @property
    def held(self) -> bool:
        """Whether everything that was promised was kept."""
        return not (self.lost or self.early or self.missed or self.doubled or self.broken)


def lost_entries(acknowledged: Mapping[str, Any], log: Sequence[Mapping[str, Any]]) -> list[str]:
    """Ids of acknowledged entries that the log lacks, or has with other words.

    acknowledged: by id, what was sent. log: the entries, each with `id` and `what`.
    """
    there = {entry["id"]: entry["what"] for entry in log}
    return [id for id, what in acknowledged.items() if id not in there or there[id] != what]


def doubled_entries(log: Sequence[Mapping[str, Any]]) -> int:
    """How many entries stand in the log again: under an id, or under a number of a device, that was there before."""
    ids = Counter(entry["id"] for entry in log)
    numbers = Counter((entry["at"]["device"], entry["n"]) for entry in log)
    return max(extra(ids), extra(numbers))


def extra(counts: Counter[Any]) -> int:
    """How many there are beyond the first of each."""
    return counts.total() - len(counts)


def early_rings(due: Mapping[str, Due], rung: Iterable[Rung]) -> list[str]:
    """Names of rings before their moment, and of rings that nobody was waiting for."""
    return [one.name for one in rung if one.name not in due or one.at_s < due[one.name].at_s - due[one.name].unsure_s]


def missed_rings(due: Iterable[str], rung: Iterable[Rung]) -> list[str]:
    """Names of rings that never came."""
    came = {one.name for one in rung}
    return [name for name in due if name not in came]


def doubled_rings(rung: Iterable[Rung]) -> int:
    """How many rings came again on the same device."""
    return extra(Counter(one.name for one in rung))
