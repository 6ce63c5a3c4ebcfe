"""A phone that remembers what the server acknowledged and when each of its clocks must ring."""

import json
import time
import uuid
from typing import Any

import httpx
import msgspec
from alerts.sample import SHEET, operation
from benchbell.recipe.sheet import ClockSpec
from histories.phone import Cut, Phone, id_of
from msgspec import Raw, Struct
from speed.fault_kinds.judgement import Due
from speed.fault_kinds.server import uptime_s

GLUE_UPS = 40
TICK_S = 0.02
"""Finer than this the bell's own note of the time is not."""


class Answer(Struct):
    """What /sync answers, its entries to the letter."""

    taken_to: int
    happenings: list[Raw]
    position: int
    server_time: int
    base: int
    more: bool
    log_epoch: str
    early: list[str] = []


class Witness(Phone):
    """A phone over HTTP. acknowledged: by id, what the server called taken. due: by operation, when it must ring.

    came: every entry that the server sent, as often as it sent it. early: ids of what the server keeps outside the log,
    because it is stamped ahead. headers: how the phone says who it is.
    """

    def __init__(self, url: str, device: str = "a" * 16, headers: dict[str, str] | None = None) -> None:
        super().__init__(device)
        self.client = httpx.Client(base_url=url, timeout=60, headers=headers or {"Device": device})
        self.acknowledged: dict[str, Any] = {}
        self.due: dict[str, Due] = {}
        self.build = ""
        self.seconds = 0.0
        self.offset_ms: float | None = None
        self.unsure_s = 0.0
        self.base = 0
        self.early: set[str] = set()
        self.latest = (0, 0)
        self.clamped = 0
        self.came: list[bytes] = []

    def begin(self, seconds: float = 3.0) -> None:
        """Start a build whose glue-ups stay so many seconds in clamps; wait until the server has it."""
        self.deliver()  # to learn the server's time
        self.build, self.seconds, self.clamped = str(uuid7()), seconds, 0
        clock = ClockSpec("in-clamps", "clamped", ("clamps-off",), int(1000 * seconds), None, "from the recipe")
        names = [self.glue_up(n) for n in range(GLUE_UPS)]
        operations = tuple(operation(f"A/{name}", name, (clock,), ()) for name in names)
        operations = tuple(msgspec.structs.replace(op, piece="") for op in operations)
        sheet = msgspec.to_builtins(msgspec.structs.replace(SHEET, operations=operations))
        self.tell({"kind": "started", "name": "Tray", "sheet": sheet, "recipe": "", "codes": {}})
        self.deliver()

    def glue_up(self, n: int) -> str:
        """The name of the n-th glue-up, which no other build has."""
        return f"{self.build[-6:]}-{n}"

    def note(self, text: str = "a note", **more: Any) -> str:
        """Record a note; gives its id."""
        return self.tell({"kind": "noted", "text": text}, **more)

    def clamp(self) -> str:
        """Put the next glue-up into clamps; gives its name, under which it must ring."""
        name = self.glue_up(self.clamped)
        self.clamped += 1
        self.due[name] = Due(uptime_s() + self.seconds, self.unsure_s + TICK_S)
        self.tell({"kind": "clamped", "operation": f"A/{name}"})
        return name

    def tell(self, what: dict[str, Any], ms: int | None = None) -> str:
        """Record what happened, not yet sent; gives its id. ms: the stamp's, left out: the server's time as known."""
        self.n += 1
        at = self.stamp() if ms is None else (ms, 0)
        entry = {
            **{"id": uuid7(), "n": self.n, "build": self.build, "about": [], "what": what},
            "at": {"ms": at[0], "counter": at[1], "device": self.device},
            "when": {"ms": self.server_ms() if ms is None else ms, "base": self.base},
        }
        self.log[entry["id"]] = self.waits[self.n] = json.dumps(entry).encode()
        return str(entry["id"])

    def server_ms(self) -> int:
        """Server time as this phone knows it."""
        return int(1000 * uptime_s() + (self.offset_ms if self.offset_ms is not None else 0))

    def stamp(self) -> tuple[int, int]:
        """The next stamp: now, or just after the latest that was met."""
        now = self.server_ms()
        self.latest = (now, 0) if now > self.latest[0] else (self.latest[0], self.latest[1] + 1)
        return self.latest

    def deliver(self, seconds: float = 30) -> float:
        """Sync until nothing waits; gives the seconds it took. Raises Cut when it does not come through in time."""
        began = time.monotonic()
        while True:
            try:
                while self.sync_once():
                    pass
                return time.monotonic() - began
            except Cut:
                if time.monotonic() - began > seconds:
                    raise
                time.sleep(0.05)

    def sync_once(self) -> bool:
        """One round trip; gives whether there is more to do. Raises Cut."""
        before = {id_of(body): body for body in self.waits.values()}
        more = self.sync(self.ask)
        waiting = {id_of(body) for body in self.waits.values()}
        self.acknowledged |= {id: json.loads(body)["what"] for id, body in before.items() if id not in waiting}
        return more

    def ask(self, device: str, batch: list[bytes], after: int, log_epoch: str) -> dict[str, Any]:
        """What the server answers. Raises Cut when it does not, when it cannot be read, or when it refuses for now."""
        began = uptime_s()
        try:
            answer = self.client.post("/sync", content=asked(batch, after, log_epoch))
        except httpx.TransportError as error:
            raise Cut from error
        return self.read(answer, began)

    def read(self, answer: httpx.Response, began: float) -> dict[str, Any]:
        """The answer as the phone takes it in. began: when it was asked, in seconds of uptime. Raises Cut."""
        try:
            if answer.status_code != 200:
                kind = answer.json()["error"]["kind"]
                if kind in ("gap", "two-phones"):
                    return dict(answer.json())
                raise Cut(kind)
            answered = msgspec.json.decode(answer.content, type=Answer)
            entries = [bytes(raw) for raw in answered.happenings]
            stamps = [json.loads(entry)["at"] for entry in entries]
        except (ValueError, LookupError, TypeError) as error:
            raise Cut from error
        took = uptime_s() - began
        self.came += entries
        self.early, self.base = set(answered.early), answered.base
        self.offset_ms, self.unsure_s = answered.server_time - 1000 * (began + took / 2), took / 2
        self.latest = max([self.latest, *((at["ms"], at["counter"]) for at in stamps)])
        return {**msgspec.to_builtins(msgspec.structs.replace(answered, happenings=[])), "happenings": entries}


def asked(batch: list[bytes], after: int, log_epoch: str) -> bytes:
    """The body of a sync request."""
    return b'{"page":2,"log_epoch":"%s","after":%d,"happenings":[%s]}' % (log_epoch.encode(), after, b",".join(batch))


def uuid7() -> str:
    """A fresh UUIDv7 (RFC 9562, section 5.7)."""
    random = uuid.uuid4().int
    ms = time.time_ns() // 1_000_000
    return str(uuid.UUID(int=ms << 80 | 0x7 << 76 | (random >> 64 & 0xFFF) << 64 | 0b10 << 62 | random & (1 << 62) - 1))
