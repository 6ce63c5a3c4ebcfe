"""A phone as the protocol at the top of web/sync.py wants it, in plain Python: a second reading of that page.

It keeps what was recorded and what came, sends what waits, and mends itself when it and the server do not
follow on each other. Everything it knows can be copied, as a backup of the whole phone would.
"""

import json
from copy import deepcopy
from dataclasses import dataclass, field

BATCH = 4
"""Small, so that short histories have many batches."""


class Cut(Exception):
    """The network went away during a round trip."""


@dataclass
class Phone:
    """A phone's disk. log: all happenings by id; waits: those not known to be taken, by number."""

    device: str
    n: int = 0
    after: int = 0
    log_epoch: str = ""
    taken_to: int = 0
    log: dict[str, bytes] = field(default_factory=dict)
    waits: dict[int, bytes] = field(default_factory=dict)

    def record(self, id: str, ms: int) -> None:
        """Something happened at the bench."""
        self.n += 1
        body = numbered(happening(id, ms, self.device), self.n)
        self.log[id] = self.waits[self.n] = body

    def batch(self) -> list[bytes]:
        """What goes next."""
        return [self.waits[n] for n in sorted(self.waits)[:BATCH]]

    def sync(self, ask) -> bool:
        """One round trip; gives whether there is more to do. Raises Cut."""
        sent = self.batch()
        answer = ask(self.device, sent, self.after, self.log_epoch)
        if "error" in answer:
            assert answer["error"]["kind"] in ("gap", "two-phones"), answer
            return self.mend(ask)
        other = self.log_epoch not in ("", answer["log_epoch"])
        if other or not self.taken_to <= answer["taken_to"] <= self.n:
            return self.mend(ask)
        self.take_in(answer)
        self.waits = {n: body for n, body in self.waits.items() if body not in sent}
        self.taken_to = answer["taken_to"]
        return answer["more"] or bool(self.waits)

    def mend(self, ask) -> bool:
        """Fetch all there is, then line up what the server lacks under numbers that follow on its own."""
        known: set[str] = set()
        after, log_epoch, more = 0, "", True
        while more:
            answer = ask(self.device, [], after, log_epoch)
            known = known if log_epoch in ("", answer["log_epoch"]) else set()
            known |= {id_of(body) for body in answer["happenings"]}
            after, log_epoch, more = answer["position"], answer["log_epoch"], answer["more"]
            self.take_in(answer)
        lacking = [body for id, body in sorted(self.log.items()) if id not in known]
        self.waits = {n: numbered(body, n) for n, body in enumerate(lacking, answer["taken_to"] + 1)}
        self.log |= {id_of(body): body for body in self.waits.values()}
        self.taken_to, self.n = answer["taken_to"], answer["taken_to"] + len(lacking)
        return bool(self.waits)

    def take_in(self, answer) -> None:
        """Write down what came and where it ends."""
        self.log |= {id_of(body): body for body in answer["happenings"]}
        self.after, self.log_epoch = answer["position"], answer["log_epoch"]

    def copied(self) -> "Phone":
        """All that is on the phone, as a backup has it."""
        return deepcopy(self)


def happening(id: str, ms: int, device: str) -> dict:
    """Something that happened, of a kind no server knows."""
    at = {"ms": ms, "counter": 0, "device": device}
    return {"id": id, "n": 0, "at": at, "build": "stand", "about": [], "what": {"kind": "of-next-year", "é": [1.50]}}


def numbered(body: dict | bytes, n: int) -> bytes:
    """The happening under this number."""
    entry = json.loads(body) if isinstance(body, bytes) else body
    return json.dumps({**entry, "n": n}, ensure_ascii=False).encode()


def id_of(body: bytes) -> str:
    """Its id."""
    return str(json.loads(body)["id"])
